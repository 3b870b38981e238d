import { type UnitState, unitStates } from '../model/unit.ts'
import { diagnosisFigures } from './diagnosis-figures.ts'
import type { VerbContext } from './verb-context.ts'
import type { WorkshopSummary } from './workshop.ts'

/** How many units stand in each state, and how many products there are, and how good the diagnoses were. */
export function summarise({ store }: Pick<VerbContext, 'store'>): WorkshopSummary {
  return store.snapshot(() => {
    const unitsByState = Object.fromEntries(unitStates.map((state) => [state, 0])) as Record<UnitState, number>
    for (const { state, count } of store.units.countByState()) unitsByState[state] = count
    const units = Object.values(unitsByState).reduce((sum, count) => sum + count, 0)
    return {
      unitsByState,
      units,
      products: store.products.list().length,
      lastSeq: store.journal.lastSeq(),
      diagnosis: diagnosisFigures({ store }),
    }
  })
}
