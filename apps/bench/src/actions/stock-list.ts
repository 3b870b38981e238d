import type { LotState } from '@boardwright/core'
import { formatWhen } from '@boardwright/core'
import type { Workshop } from '@boardwright/core/workshop'
import { type CommandContext, print, printJson } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { withWorkshop } from '../open-workshop.ts'
import { csvTarget, writeCsv } from '../text/csv-output.ts'
import { lotStateWords, lotWords, partWords } from '../text/part-words.ts'
import { textTable } from '../text/table.ts'

export interface StockListOptions {
  part?: string
  lots?: boolean
  state?: LotState
  csv?: string | true
}

/** `boardwright stock list`: parts with what there is of them, or lots. */
export function stockList(context: CommandContext, options: StockListOptions) {
  const target = csvTarget(context, options.csv)
  const isLots = options.lots || options.state !== undefined || options.part !== undefined
  return withWorkshop(context, {}, (workshop) => {
    const { stock } = workshop
    const lots = isLots ? stock.lots({ part: options.part, state: options.state }) : []
    const parts = isLots ? [] : stock.parts()
    if (context.json) printJson(context, isLots ? { lots } : { parts })
    else if (target !== undefined) writeCsv(context, target, isLots ? lotTable(lots) : partTable(parts))
    else if (lots.length + parts.length === 0) print(context, isLots ? 'No lot matches.' : 'There are no parts yet.')
    else if (isLots)
      print(
        context,
        textTable(
          lots.map((lot) => [
            lot.id,
            lot.part,
            `${lot.stock} of ${lot.received}`,
            lotStateWords[lot.state],
            formatWhen(lot.receivedAt).split(',')[0],
            lotWords(lot),
          ]),
        ),
      )
    else
      print(
        context,
        textTable(
          parts.map((part) => [
            ...partColumns(part),
            `${part.stock} in stock`,
            part.waiting > 0 ? `${part.waiting} held back` : '',
            `${part.lots} lot${part.lots === 1 ? '' : 's'}`,
          ]),
        ),
      )
    return exitCode.ok
  })
}

type Parts = ReturnType<Workshop['stock']['parts']>
type Lots = ReturnType<Workshop['stock']['lots']>

const partColumns = (part: Parts[0]): string[] => {
  const [number, ...value] = partWords(part).split('  ')
  return [number, value.join(' ')]
}

const partTable = (parts: Parts) => [
  ['part', 'kind', 'value', 'stock', 'held back', 'lots', 'supplier', 'lead time days'],
  ...parts.map((part) => [
    ...[part.number, part.kind, part.value, part.stock, part.waiting, part.lots, part.supplier],
    part.leadTimeDays ?? '',
  ]),
]

const lotTable = (lots: Lots) => [
  ['lot', 'part', 'stock', 'received', 'state', 'received at', 'date code', 'supplier'],
  ...lots.map((lot) => [
    ...[lot.id, lot.part, lot.stock, lot.received, lot.state, lot.receivedAt, lot.dateCode, lot.supplier],
  ]),
]
