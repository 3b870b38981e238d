import { BoardwrightError, type PartPrice, partPrice } from '@boardwright/core'
import type { PartChanges, Workshop } from '@boardwright/core/workshop'
import { type CommandContext, print, printJson } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { withWorkshop } from '../open-workshop.ts'
import { lotStateWords, partWords } from '../text/part-words.ts'

/** "0.38 EUR" for one piece. Errors: bad-argument. */
function readPrice(text: string | undefined): PartPrice | undefined {
  if (text === undefined) return undefined
  const [amount = '', currency = ''] = text.trim().split(/\s+/)
  const price = partPrice(amount, currency)
  if (!price) throw new BoardwrightError('bad-argument', `"${text}" is no price for one piece, such as "0.38 EUR".`)
  return price
}

type Lot = ReturnType<Workshop['stock']['receiveLot']>

const sayLot = (context: CommandContext, lot: Lot, more: object = {}): void => {
  if (context.json) printJson(context, { lot, ...more })
  else print(context, `Lot ${lot.id}: ${lot.stock} of ${lot.part}, ${lotStateWords[lot.state]}.`)
}

export interface StockPartOptions extends Omit<PartChanges, 'number' | 'price' | 'tolerance' | 'inspection'> {
  number: string
  tolerancePercent?: number
  price?: string
  inspect?: 'none' | 'all' | 'sample'
  level?: 'I' | 'II' | 'III' | 'S-1' | 'S-2' | 'S-3' | 'S-4'
  limitPercent?: number
}

/** `boardwright stock part NUMBER`: adds a part, or changes what is known of one. */
export function stockPart(context: CommandContext, options: StockPartOptions) {
  const { tolerancePercent, price, inspect, level, limitPercent, ...told } = options
  const sample = { kind: 'sample' as const, level, acceptanceQualityLimitPercent: limitPercent }
  const inspection = inspect === undefined ? undefined : inspect === 'sample' ? sample : { kind: inspect }
  return withWorkshop(context, { create: true }, (workshop) => {
    const tolerance = tolerancePercent === undefined ? undefined : tolerancePercent / 100
    const saved = workshop.stock.savePart({ ...told, tolerance, price: readPrice(price), inspection })
    if (context.json) printJson(context, saved)
    else print(context, `${partWords(saved.part)}: ${saved.changed ? `version ${saved.part.version}` : 'as it was'}.`)
    return exitCode.ok
  })
}

export interface StockReceiveOptions {
  part: string
  pieces: number
  lot?: string
  dateCode?: string
  price?: string
  supplier?: string
  certificate?: string
  photo?: string
  measured?: { name: string; value: string }[]
  note?: string
}

/** `boardwright stock receive PART`: takes a delivery into stock. */
export function stockReceive(context: CommandContext, options: StockReceiveOptions) {
  const { certificate: certificatePath, photo: photoPath, measured = [], price, ...told } = options
  const measurements = measured.map((one, i) => ({ piece: i + 1, ...one }))
  return withWorkshop(context, {}, (workshop) => {
    const bought = { ...told, price: readPrice(price), certificatePath, photoPath, measurements }
    sayLot(context, workshop.stock.receiveLot(bought))
    return exitCode.ok
  })
}

/** `boardwright stock count LOT`: sets the stock right after a count. */
export function stockCount(context: CommandContext, options: { lot: string; pieces: number; reason: string }) {
  return withWorkshop(context, {}, (workshop) => {
    const { lot, reason, pieces: counted } = options
    const { stock: before } = workshop.stock.lot(lot).lot
    const after = workshop.stock.countLot({ lot, counted, reason })
    sayLot(context, after, { before })
    if (!context.json && after.stock !== before)
      print(
        context,
        `  It was ${before} before: corrected by ${after.stock > before ? '+' : '\u2212'}${Math.abs(after.stock - before)}.`,
      )
    return exitCode.ok
  })
}

export interface StockDecideOptions {
  lot: string
  state: 'accepted' | 'held' | 'refused'
  reason: string
}

/** `boardwright stock decide LOT`: accepts, holds or refuses a lot. */
export function stockDecide(context: CommandContext, options: StockDecideOptions) {
  return withWorkshop(context, {}, (workshop) => {
    sayLot(context, workshop.stock.decideLot(options))
    return exitCode.ok
  })
}

export interface StockInspectOptions {
  lot: string
  run?: string
  good?: boolean
  bad?: boolean
  note?: string
}

/** `boardwright stock inspect LOT`: takes up how one piece did, or says how far the inspection is. */
export function stockInspect(context: CommandContext, options: StockInspectOptions) {
  const { lot: id, run: runId, note } = options
  if (options.good && options.bad) throw new BoardwrightError('bad-argument', 'A piece is either good or bad.')
  const good = options.good ? true : options.bad ? false : undefined
  return withWorkshop(context, {}, (workshop) => {
    const told = good !== undefined || runId !== undefined
    const { lot, inspection } = told
      ? workshop.stock.inspectPiece({ lot: id, runId, good, note })
      : workshop.stock.lot(id)
    sayLot(context, lot, { inspection })
    if (!context.json)
      print(
        context,
        inspection
          ? `  ${inspection.tried} of ${inspection.sampleSize} tried, ${inspection.bad} bad; accepted with ${inspection.acceptanceNumber} bad at most.`
          : '  Its part is taken without inspection.',
      )
    return lot.state === 'held' || lot.state === 'refused' ? exitCode.fail : exitCode.ok
  })
}
