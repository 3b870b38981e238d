import type { ReworkAction } from '@boardwright/core'
import { type CommandContext, print, printJson } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { withWorkshop } from '../open-workshop.ts'

export interface ReworkOptions {
  serial: string
  part: string
  action: ReworkAction
  fitted?: string
  lot?: string
  note?: string
  unfinished?: boolean
}

/** `boardwright unit rework SERIAL`: records what was replaced or redone. */
export function unitRework(context: CommandContext, options: ReworkOptions) {
  const { serial, part: designator, action, fitted, lot, note, unfinished } = options
  return withWorkshop(context, {}, (workshop) => {
    const made = workshop.recordRework({ serial, designator, action, part: fitted, lot, note, finished: !unfinished })
    if (context.json) {
      printJson(context, made)
      return exitCode.ok
    }
    const { rework, unit } = made
    const next = unit.state === 'untested' ? 'test it again' : 'record the last step without --unfinished, then test it'
    print(context, `${unit.serial}: ${rework.designator} ${rework.action}. It is now ${unit.state}; ${next}.`)
    return exitCode.ok
  })
}
