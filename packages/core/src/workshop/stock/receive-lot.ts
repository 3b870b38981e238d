import { BoardwrightError } from '../../model/error.ts'
import { type LotInStock, PartLot } from '../../model/part-lot.ts'
import { nowOf, type VerbContext, writeJournal } from '../verb-context.ts'
import { findLot, readLotId, readPartNumber } from './find-lot.ts'
import { wholePieces } from './pieces.ts'
import type { ReceiveLot } from './stock-verbs.ts'

/**
 * Takes a delivery into stock. A part that is inspected waits for that first.
 * Errors: bad-argument, lot-exists, not-found (part).
 */
export function receiveLot(context: VerbContext, what: ReceiveLot): LotInStock {
  const number = readPartNumber(what.part)
  const pieces = wholePieces('The number of pieces', what.pieces, 1)
  const { store, station } = context
  return store.transaction(() => {
    const part = store.parts.newest(number)
    if (!part)
      throw new BoardwrightError('not-found', `There is no part ${number} in this workshop.`, {
        remedy: 'Say first what it is: boardwright stock part NUMBER --kind KIND --value VALUE',
      })
    const id = what.lot === undefined ? nextLotId(context) : readLotId(what.lot)
    if (store.partLots.find(id)) throw new BoardwrightError('lot-exists', `Lot ${id} is in this workshop already.`)
    const at = nowOf(context)
    const { part: _, pieces: __, lot: ___, ...told } = what
    const state = part.inspection.kind === 'none' ? 'accepted' : 'awaiting-inspection'
    const supplier = what.supplier ?? part.supplier
    const lot = readLot({ ...told, supplier, id, part: number, receivedAt: at, station, state })
    store.partLots.insert(lot)
    const movement = { lotId: id, at, station, kind: 'received' as const, pieces }
    store.stockMovements.insert({ ...movement, buildId: null, reworkId: null, reason: '' })
    const detail = { part: number, pieces, state, dateCode: lot.dateCode, supplier: lot.supplier }
    writeJournal(context, { at, verb: 'receive-lot', noun: 'part-lot', key: id, detail })
    return findLot(context, id)
  })
}

function nextLotId({ store }: VerbContext): string {
  for (let number = store.partLots.nextNumber(); ; number++) {
    const id = `L-${String(number).padStart(4, '0')}`
    if (!store.partLots.find(id)) return id
  }
}

function readLot(lot: Partial<PartLot>): PartLot {
  const parsed = PartLot.safeParse(lot)
  if (parsed.success) return parsed.data
  const [issue] = parsed.error.issues
  throw new BoardwrightError('bad-argument', `The lot is not right at ${issue!.path.join('.')}: ${issue!.message}.`)
}
