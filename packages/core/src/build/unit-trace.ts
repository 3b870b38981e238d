import type { FittedPart } from '../model/build.ts'
import { isSamePart, type Rework } from '../model/rework.ts'

/** A rework with the lot it took a part from, when that is one of the workshop's. */
export type TracedRework = Pick<Rework, 'id' | 'at' | 'designator' | 'action' | 'part' | 'lot'> & {
  lotId: string | null
  lotPart: string | null
}

/** What sits in one place of a unit now. */
export interface TracedPlace {
  designator: string
  part: string | null
  /** Null when it was replaced from a lot that the workshop does not know; then `lotWords` says what the maker wrote. */
  lotId: string | null
  lotWords: string | null
  pieces: number
  /** The rework that put it there; null when it has been there since the build. */
  reworkId: number | null
}

/** What sat there before. */
export interface ReplacedPart extends TracedPlace {
  replacedAt: string
  replacedBy: number
}

export interface UnitTrace {
  places: TracedPlace[]
  replaced: ReplacedPart[]
}

/**
 * What is in a unit, and from which lots: as it was built, then changed by each rework that replaced a part.
 * @param options.reworks of this unit, oldest first
 */
export function unitTrace(options: { fitted: readonly FittedPart[]; reworks: readonly TracedRework[] }): UnitTrace {
  let places = options.fitted.map(
    ({ designator, part, lotId, pieces }): TracedPlace => ({
      ...{ designator, part, lotId, pieces },
      ...{ lotWords: null, reworkId: null },
    }),
  )
  const replaced: ReplacedPart[] = []
  for (const rework of options.reworks) {
    if (rework.action !== 'replaced') continue
    const out = places.filter(({ designator }) => isSamePart(designator, rework.designator))
    replaced.push(...out.map((place) => ({ ...place, replacedAt: rework.at, replacedBy: rework.id })))
    places = places.filter((place) => !out.includes(place))
    places.push({
      designator: out[0]?.designator ?? rework.designator,
      part: rework.lotPart ?? rework.part,
      lotId: rework.lotId,
      lotWords: rework.lotId === null ? rework.lot : null,
      pieces: 1,
      reworkId: rework.id,
    })
  }
  places.sort((one, other) => one.designator.localeCompare(other.designator, 'en', { numeric: true }))
  return { places, replaced }
}
