import type { LotInStock } from '../../model/part-lot.ts'
import type { VerbContext } from '../verb-context.ts'
import { findLot, readPartNumber } from './find-lot.ts'
import { inspectionStatus } from './inspection-status.ts'
import type { LotDetail, StockVerbs } from './stock-verbs.ts'

/** Errors: bad-argument. */
export function listLots(
  { store }: Pick<VerbContext, 'store'>,
  query: NonNullable<Parameters<StockVerbs['lots']>[0]>,
): LotInStock[] {
  const part = query.part === undefined ? undefined : readPartNumber(query.part)
  return store.partLots.list({ ...query, part })
}

/** A lot with its movements, readings and history. Errors: bad-argument, not-found. */
export function showLot(context: Pick<VerbContext, 'store'>, id: string): LotDetail {
  const { store } = context
  return store.snapshot(() => {
    const lot = findLot(context, id)
    const { version: _, changedAt: __, ...part } = store.parts.newest(lot.part)!
    const readings = store.partLots.readings(lot.id)
    return {
      lot,
      part,
      movements: store.stockMovements.ofLot(lot.id),
      readings,
      inspection: inspectionStatus({ inspection: part.inspection, lotSize: lot.received, readings }),
      history: store.journal.about({ noun: 'part-lot', key: lot.id }),
    }
  })
}
