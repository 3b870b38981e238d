import { formatWhen } from '@boardwright/core'
import type { LotTrace } from '@boardwright/core/workshop'
import { type CommandContext, print, printJson } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { withWorkshop } from '../open-workshop.ts'
import { csvTarget, writeCsv } from '../text/csv-output.ts'
import { lotStateWords, lotWords } from '../text/part-words.ts'
import { textTable } from '../text/table.ts'

const placesOf = (places: readonly { designator: string }[]): string =>
  places.map(({ designator }) => designator).join(' ')

/** `boardwright stock trace LOT`: which units have it inside, and who must be told. */
export function stockTrace(context: CommandContext, options: { lot: string; csv?: string | true }) {
  const target = csvTarget(context, options.csv)
  return withWorkshop(context, {}, (workshop) => {
    const trace = workshop.stock.traceLot(options.lot)
    if (context.json) printJson(context, trace)
    else if (target !== undefined) writeCsv(context, target, rowsOf(trace))
    else printTrace(context, trace)
    return exitCode.ok
  })
}

const rowsOf = ({ lot, units, toTell }: LotTrace) => [
  ['lot', 'part', 'serial', 'state', 'product', 'revision', 'inside', 'removed', 'tell the owner'],
  ...units.map(({ serial, state, productId, revision, inside, removed }) => [
    ...[lot.id, lot.part, serial, state, productId, revision, placesOf(inside), placesOf(removed)],
    toTell.includes(serial) ? 'yes' : 'no',
  ]),
]

function printTrace(context: CommandContext, { lot, units, toTell, toKeep }: LotTrace): void {
  const words = lotWords(lot)
  print(context, `Lot ${lot.id}: ${lot.part}, ${lotStateWords[lot.state]}, ${lot.stock} of ${lot.received} left`)
  print(context, `  received ${formatWhen(lot.receivedAt)}${words ? `, ${words}` : ''}`)
  if (units.length === 0) {
    print(context, 'No unit has a piece of it inside.')
    return
  }
  print(
    context,
    textTable(
      units.map(({ serial, state, inside, removed }) => [
        `  ${serial}`,
        state,
        inside.length > 0 ? `inside: ${placesOf(inside)}` : '',
        removed.length > 0 ? `taken out: ${placesOf(removed)}` : '',
      ]),
    ),
  )
  print(
    context,
    toTell.length > 0 ? `Tell the owners of: ${toTell.join(', ')}` : 'No unit with it inside has left the workshop.',
  )
  if (toKeep.length > 0) print(context, `Still in the workshop: ${toKeep.join(', ')}`)
}
