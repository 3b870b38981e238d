import { BoardwrightError, formatWhen, type RigSettings } from '@boardwright/core'
import { type CommandContext, print, printJson } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { withWorkshop } from '../open-workshop.ts'
import { rigLabelOf, rigLines } from '../text/rig-words.ts'
import { textTable } from '../text/table.ts'

/** Says everything about one version of a rig. */
export function tellRig(context: CommandContext, settings: RigSettings): void {
  if (context.json) {
    printJson(context, settings)
    return
  }
  print(context, `Rig "${settings.name}", version ${settings.version} of ${formatWhen(settings.changedAt)}`)
  print(
    context,
    textTable(rigLines(settings).map(({ label, value, done }) => [` ${done ? '✓' : '○'} ${label}`, value])),
  )
}

const nextSteps = `Choose the devices first:
  boardwright rig devices
  boardwright rig set --output NAME --input NAME
or let the bench lead you: boardwright open --rig sound`

/** `boardwright rig show`: the settings in force, or all versions. */
export function rigShow(context: CommandContext, options: { name?: string; versions?: boolean }) {
  return withWorkshop(context, {}, (workshop) => {
    const history = workshop.rig.history(options.name)
    if (options.versions && context.json) printJson(context, { versions: history })
    else if (history.length === 0)
      throw new BoardwrightError('no-rig', `The rig "${options.name ?? 'rig'}" is not set up yet.`, {
        remedy: nextSteps,
      })
    else if (options.versions)
      print(
        context,
        textTable(
          history.map((one) => [String(one.version), formatWhen(one.changedAt), rigLabelOf(one), missing(one)]),
        ),
      )
    else tellRig(context, history[0])
    return exitCode.ok
  })
}

const missing = (settings: RigSettings): string => {
  const open = rigLines(settings).filter(({ done }) => !done)
  return open.length === 0 ? 'complete' : `without ${open.map(({ label }) => label.toLowerCase()).join(', ')}`
}
