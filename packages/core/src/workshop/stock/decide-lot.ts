import { BoardwrightError } from '../../model/error.ts'
import type { LotInStock, LotState } from '../../model/part-lot.ts'
import { nowOf, type VerbContext, writeJournal } from '../verb-context.ts'
import { findLot } from './find-lot.ts'
import { reasonOf } from './pieces.ts'

const decidable: readonly LotState[] = ['accepted', 'held', 'refused']

/** Decides over a lot by hand. What is built in already stays there. Errors: bad-argument, not-found. */
export function decideLot(
  context: VerbContext,
  what: { lot: string; state: 'accepted' | 'held' | 'refused'; reason: string },
): LotInStock {
  const reason = reasonOf(what.reason)
  if (!decidable.includes(what.state))
    throw new BoardwrightError('bad-argument', `A lot can be accepted, held or refused, not "${what.state}".`)
  return context.store.transaction(() => {
    const { id } = findLot(context, what.lot)
    return setLotState(context, { id, state: what.state, reason })
  })
}

/** Sets the state of a lot; call it inside a transaction. */
export function setLotState(context: VerbContext, what: { id: string; state: LotState; reason: string }): LotInStock {
  const { id, state, reason } = what
  const { state: from } = findLot(context, id)
  context.store.partLots.setState({ id, state })
  const detail = { from, to: state, reason }
  writeJournal(context, { at: nowOf(context), verb: 'decide-lot', noun: 'part-lot', key: id, detail })
  return findLot(context, id)
}
