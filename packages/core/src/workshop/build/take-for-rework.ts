import { BoardwrightError } from '../../model/error.ts'
import { LotId, type LotInStock } from '../../model/part-lot.ts'
import type { Product } from '../../model/product.ts'
import { isSamePart, type Rework } from '../../model/rework.ts'
import { type VerbContext, writeJournal } from '../verb-context.ts'

/**
 * The lot that a rework names, when it is one of the workshop's and something is replaced from it; else what the maker wrote
 * stays words. Errors: lot-not-usable, stock-short.
 */
export function lotForRework(
  { store }: Pick<VerbContext, 'store'>,
  what: { product: Product; designator: string; action: Rework['action']; lot: string | null },
): LotInStock | undefined {
  const { product, designator, action, lot: words } = what
  const parsed = LotId.safeParse(words)
  const lot = action === 'replaced' && parsed.success ? store.partLots.find(parsed.data) : undefined
  if (!lot) return undefined
  if (lot.state !== 'accepted')
    throw new BoardwrightError(
      'lot-not-usable',
      `Lot ${lot.id} is ${lot.state.replace('-', ' ')}, so nothing is taken from it.`,
    )
  const entry = product.partsList?.find((one) => isSamePart(one.designator, designator))
  if (entry && entry.part !== lot.part && !entry.alternatives.includes(lot.part))
    throw new BoardwrightError(
      'lot-not-usable',
      `Lot ${lot.id} holds ${lot.part}, but ${designator} takes ${entry.part}.`,
    )
  if (lot.stock < 1) throw new BoardwrightError('stock-short', `Lot ${lot.id} is empty.`)
  return lot
}

/** Takes the piece out of stock and ties the rework to its lot; call it inside the transaction of the rework. */
export function takeForRework(context: VerbContext, what: { rework: Rework; lot: LotInStock }): void {
  const { store, station } = context
  const { rework, lot } = what
  const { at, id: reworkId, serial } = rework
  store.builds.linkRework({ reworkId, lotId: lot.id })
  const movement = { lotId: lot.id, at, station, kind: 'used-in-rework' as const, pieces: -1 }
  store.stockMovements.insert({ ...movement, buildId: null, reworkId, reason: '' })
  const detail = { pieces: 1, reworkId, serial }
  writeJournal(context, { at, verb: 'issue-lot', noun: 'part-lot', key: lot.id, detail })
}
