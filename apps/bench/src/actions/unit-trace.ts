import { type CommandContext, print, printJson } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { withWorkshop } from '../open-workshop.ts'
import { csvTarget, writeCsv } from '../text/csv-output.ts'
import { textTable } from '../text/table.ts'

/** `boardwright unit trace SERIAL`: what is in it, and from which lots. */
export function unitTrace(context: CommandContext, options: { serial: string; csv?: string | true }) {
  const target = csvTarget(context, options.csv)
  return withWorkshop(context, {}, (workshop) => {
    const { unit, buildId, places, replaced } = workshop.builds.traceUnit(options.serial)
    if (context.json) {
      printJson(context, { unit, buildId, places, replaced })
      return exitCode.ok
    }
    if (target !== undefined) {
      const header = ['serial', 'designator', 'part', 'lot', 'pieces', 'rework', 'replaced at']
      const rows = [...places.map((place) => ({ ...place, replacedAt: '' })), ...replaced].map((place) => [
        ...[unit.serial, place.designator, place.part ?? '', place.lotId ?? place.lotWords ?? '', place.pieces],
        ...[place.reworkId ?? '', place.replacedAt],
      ])
      writeCsv(context, target, [header, ...rows])
      return exitCode.ok
    }
    const origin = buildId === null ? 'not from a build of this workshop' : `from build ${buildId}`
    print(context, `${unit.serial}: ${unit.state}, ${unit.productId} ${unit.revision}, ${origin}`)
    if (places.length === 0) print(context, 'Nothing is known of the lots of its parts.')
    else
      print(
        context,
        textTable(
          places.map(({ designator, part, lotId, lotWords, pieces, reworkId }) => [
            `  ${designator}`,
            part ?? '',
            lotId ?? (lotWords ? `"${lotWords}"` : 'lot not known'),
            pieces > 1 ? `${pieces} pieces` : '',
            reworkId === null ? '' : `rework ${reworkId}`,
          ]),
        ),
      )
    for (const { designator, part, lotId, lotWords, replacedBy } of replaced)
      print(
        context,
        `  ${designator} had ${part ?? 'a part'} from ${lotId ?? lotWords ?? 'a lot not known'} until rework ${replacedBy}.`,
      )
    return exitCode.ok
  })
}
