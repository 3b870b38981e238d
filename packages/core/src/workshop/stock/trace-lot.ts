import type { UnitState } from '../../model/unit.ts'
import { traceUnit } from '../build/trace-unit.ts'
import type { VerbContext } from '../verb-context.ts'
import { findLot } from './find-lot.ts'
import type { LotTrace, LotTraceUnit } from './stock-verbs.ts'

/** A unit in one of these is no longer in the maker's hands. */
const outside: readonly UnitState[] = ['shipped']

/** Which units pieces of a lot went into, and who must be told. Errors: bad-argument, not-found. */
export function traceLot(context: Pick<VerbContext, 'store'>, id: string): LotTrace {
  const { store } = context
  return store.snapshot(() => {
    const lot = findLot(context, id)
    const units = store.builds.serialsWithLot(lot.id).map((serial) => traceIn(context, serial, lot.id))
    const concerned = units.filter(({ inside, state }) => inside.length > 0 && state !== 'scrapped')
    const serials = (isOutside: boolean) =>
      concerned.filter(({ state }) => outside.includes(state) === isOutside).map(({ serial }) => serial)
    return { lot, units, toTell: serials(true), toKeep: serials(false) }
  })
}

function traceIn(context: Pick<VerbContext, 'store'>, serial: string, lotId: string): LotTraceUnit {
  const { unit, places, replaced } = traceUnit(context, serial)
  return {
    serial,
    state: unit.state,
    productId: unit.productId,
    revision: unit.revision,
    inside: places
      .filter((place) => place.lotId === lotId)
      .map(({ designator, pieces, reworkId }) => ({ designator, pieces, reworkId })),
    removed: replaced
      .filter((place) => place.lotId === lotId)
      .map(({ designator, pieces, replacedAt, replacedBy }) => ({
        designator,
        pieces,
        at: replacedAt,
        reworkId: replacedBy,
      })),
  }
}
