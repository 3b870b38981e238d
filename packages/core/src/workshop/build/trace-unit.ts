import { type TracedRework, type UnitTrace, unitTrace } from '../../build/unit-trace.ts'
import { BoardwrightError } from '../../model/error.ts'
import type { Unit } from '../../model/unit.ts'
import { readSerial } from '../register-unit.ts'
import type { VerbContext } from '../verb-context.ts'

/** What is in a unit and from which lots. Errors: bad-serial, not-found. */
export function traceUnit(
  { store }: Pick<VerbContext, 'store'>,
  text: string,
): UnitTrace & { unit: Unit; buildId: number | null } {
  const serial = readSerial(text)
  return store.snapshot(() => {
    const unit = store.units.find(serial)
    if (!unit) throw new BoardwrightError('not-found', `There is no unit ${serial} in this workshop.`)
    const lotOf = new Map(store.builds.reworkLots(serial).map(({ reworkId, lotId }) => [reworkId, lotId]))
    const reworks = store.reworks
      .ofUnit(serial)
      .reverse()
      .map((rework): TracedRework => {
        const lotId = lotOf.get(rework.id) ?? null
        return { ...rework, lotId, lotPart: lotId === null ? null : store.partLots.find(lotId)!.part }
      })
    const buildId = store.builds.ofUnit(serial)?.id ?? null
    return { unit, buildId, ...unitTrace({ fitted: store.builds.fittedIn(serial), reworks }) }
  })
}
