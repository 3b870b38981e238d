import type { LotInStock } from '../model/part-lot.ts'
import type { PartsListEntry } from '../model/parts-list.ts'

/** Pieces to be laid out from one lot. */
export interface LotTake {
  lotId: string
  part: string
  pieces: number
}

/** What a build takes of one part. */
export interface KitLine {
  /** As the parts list names it. */
  part: string
  /** What may stand in, best first. */
  alternatives: string[]
  designators: string[]
  piecesPerUnit: number
  needed: number
  /** Oldest lot first. */
  takes: LotTake[]
  /** Pieces that no accepted lot has. */
  short: number
}

export interface KitList {
  lines: KitLine[]
  /** Nothing is short. */
  complete: boolean
}

interface Need {
  part: string
  candidates: string[]
  designators: string[]
  piecesPerUnit: number
}

type Lot = Pick<LotInStock, 'id' | 'part' | 'receivedAt' | 'state' | 'stock'>

/**
 * What to lay out for a build, and from which lots: of each part the oldest lot that has enough for the whole build; where
 * none has, the oldest lots one after the other. An alternative part stands in only when the first choice does not do.
 * Accepted lots count only. Nothing is taken twice.
 */
export function kitList(options: {
  partsList: readonly PartsListEntry[]
  units: number
  lots: readonly Lot[]
}): KitList {
  const { units } = options
  const drawer = new Drawer(options.lots)
  const needs = needsOf(options.partsList)
  const taken = new Map<Need, LotTake[]>()
  const take = (need: Need, parts: readonly string[]) => taken.set(need, drawer.take(parts, need.piecesPerUnit * units))
  // A part that does by itself is served first, so that a line that must make do does not eat another's first choice.
  for (const need of needs) if (drawer.holds(need.part) >= need.piecesPerUnit * units) take(need, [need.part])
  for (const need of needs) {
    if (taken.has(need)) continue
    const whole = need.candidates.find((part) => drawer.holds(part) >= need.piecesPerUnit * units)
    take(need, whole === undefined ? need.candidates : [whole])
  }
  const lines = needs.map((need): KitLine => {
    const { part, candidates, designators, piecesPerUnit } = need
    const takes = taken.get(need)!
    const needed = piecesPerUnit * units
    const short = needed - takes.reduce((sum, { pieces }) => sum + pieces, 0)
    return { part, alternatives: candidates.slice(1), designators, piecesPerUnit, needed, takes, short }
  })
  return { lines, complete: lines.every(({ short }) => short === 0) }
}

/** Places that take the same part, with the same alternatives, are one line. */
function needsOf(partsList: readonly PartsListEntry[]): Need[] {
  const needs = new Map<string, Need>()
  for (const { designator, part, alternatives, pieces } of partsList) {
    const candidates = [part, ...alternatives]
    const key = candidates.join('\n')
    const need = needs.get(key) ?? { part, candidates, designators: [], piecesPerUnit: 0 }
    need.designators.push(designator)
    need.piecesPerUnit += pieces
    needs.set(key, need)
  }
  return [...needs.values()]
}

/** The accepted lots while they are taken from. */
class Drawer {
  readonly #lots: { id: string; part: string; left: number }[]

  constructor(lots: readonly Lot[]) {
    this.#lots = lots
      .filter(({ state, stock }) => state === 'accepted' && stock > 0)
      .sort((one, other) => compare(one.receivedAt, other.receivedAt) || compare(one.id, other.id))
      .map(({ id, part, stock }) => ({ id, part, left: stock }))
  }

  holds(part: string): number {
    return this.#lots.filter((lot) => lot.part === part).reduce((sum, { left }) => sum + left, 0)
  }

  /** Takes so many pieces, or as many as there are. */
  take(parts: readonly string[], wanted: number): LotTake[] {
    const own = parts.flatMap((part) => this.#lots.filter((lot) => lot.part === part && lot.left > 0))
    const one = own.find(({ left }) => left >= wanted)
    const takes: LotTake[] = []
    let missing = wanted
    for (const lot of one ? [one] : own) {
      const pieces = Math.min(lot.left, missing)
      if (pieces === 0) break
      lot.left -= pieces
      missing -= pieces
      takes.push({ lotId: lot.id, part: lot.part, pieces })
    }
    return takes
  }
}

const compare = (one: string, other: string): number => (one < other ? -1 : one > other ? 1 : 0)
