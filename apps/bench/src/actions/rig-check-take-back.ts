import { type CommandContext, print, printJson } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { withWorkshop } from '../open-workshop.ts'
import { UsageError } from '../report-error.ts'

/** `boardwright rig-check take-back`: ready and reserved units of the list are untested again. */
export function rigCheckTakeBack(
  context: CommandContext,
  { unit: serials, all, product: productId }: { unit?: string[]; all?: boolean; product?: string },
) {
  if ((serials === undefined) === !all) throw new UsageError('Name units with --unit, or take all of them with --all.')
  return withWorkshop(context, {}, (workshop) => {
    const { units } = workshop.rigChecks.takeBack({ productId, serials })
    if (context.json) printJson(context, { units })
    else if (units.length === 0) print(context, 'No unit on the list stands on the shelf.')
    else print(context, `Untested again: ${units.map(({ serial }) => serial).join(', ')}.`)
    return exitCode.ok
  })
}
