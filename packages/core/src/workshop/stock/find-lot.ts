import { BoardwrightError } from '../../model/error.ts'
import { PartNumber } from '../../model/part.ts'
import { LotId, type LotInStock } from '../../model/part-lot.ts'
import type { VerbContext } from '../verb-context.ts'

const shown = (text: string): string => JSON.stringify(text.length > 40 ? `${text.slice(0, 40)}...` : text)

/** The name of a lot as typed or scanned, in the form it is stored in. Errors: bad-argument. */
export function readLotId(text: string): string {
  const parsed = LotId.safeParse(text)
  if (parsed.success) return parsed.data
  throw new BoardwrightError('bad-argument', `${shown(text)}: ${parsed.error.issues[0]!.message}.`)
}

/** A part number as typed, in the form it is stored in. Errors: bad-argument. */
export function readPartNumber(text: string): string {
  const parsed = PartNumber.safeParse(text)
  if (parsed.success) return parsed.data
  throw new BoardwrightError('bad-argument', `${shown(text)}: ${parsed.error.issues[0]!.message}.`)
}

/** Errors: bad-argument, not-found. */
export function findLot({ store }: Pick<VerbContext, 'store'>, text: string): LotInStock {
  const id = readLotId(text)
  const lot = store.partLots.find(id)
  if (!lot) throw new BoardwrightError('not-found', `There is no lot ${id} in this workshop.`)
  return lot
}
