import type { LotInStock } from '../../model/part-lot.ts'
import { nowOf, type VerbContext, writeJournal } from '../verb-context.ts'
import { findLot } from './find-lot.ts'
import { reasonOf, wholePieces } from './pieces.ts'

/**
 * Sets the stock of a lot to what was counted; the difference is a movement with its reason. A count that agrees moves
 * nothing, but is in the journal. Errors: bad-argument, not-found.
 */
export function countLot(context: VerbContext, what: { lot: string; counted: number; reason: string }): LotInStock {
  const counted = wholePieces('The count', what.counted, 0)
  const reason = reasonOf(what.reason)
  const { store, station } = context
  return store.transaction(() => {
    const { id, stock } = findLot(context, what.lot)
    const at = nowOf(context)
    const pieces = counted - stock
    const movement = {
      lotId: id,
      at,
      station,
      kind: 'corrected' as const,
      pieces,
      buildId: null,
      reworkId: null,
      reason,
    }
    if (pieces !== 0) store.stockMovements.insert(movement)
    writeJournal(context, {
      at,
      verb: 'count-lot',
      noun: 'part-lot',
      key: id,
      detail: { counted, before: stock, reason },
    })
    return findLot(context, id)
  })
}
