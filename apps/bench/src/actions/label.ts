import { BoardwrightError } from '@boardwright/core'
import { type CommandContext, print, printJson } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { labelFolder } from '../label-folder.ts'
import { withWorkshop } from '../open-workshop.ts'
import { printLabel } from '../session/print-label.ts'

/** `boardwright label`: the label of a unit by its last run. */
export function label(context: CommandContext, options: { operand?: string; labels?: string; printCommand?: string }) {
  return withWorkshop(context, {}, async (workshop) => {
    const { unit } = workshop.unit(options.operand ?? '')
    if (unit.lastRunId === null)
      throw new BoardwrightError('not-found', `Unit ${unit.serial} has not been tested yet, so it has no label.`)
    const { run } = workshop.testRun(unit.lastRunId)
    const { labelFacts } = await import('@boardwright/core/papers')
    const facts = labelFacts({ product: workshop.product(unit.productId, unit.revision), run })
    const folder = labelFolder(workshop.file, options.labels)
    const outcome = await printLabel(facts, { folder, printCommand: options.printCommand })
    if (context.json) printJson(context, { serial: unit.serial, ...outcome })
    else print(context, outcome.problem ?? `${outcome.path}${outcome.printed ? ', printed' : ''}`)
    return outcome.problem === undefined ? exitCode.ok : exitCode.fail
  })
}
