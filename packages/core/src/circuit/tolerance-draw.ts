import { lotDeviate, lotOf, type Spread, spreadFactor } from './draw-board.ts'
import type { Netlist } from './netlist.ts'
import { RandomSource } from './random.ts'

/** What is known of the parts in stock: measured values of a lot, in the SI unit, by parameter name ("C7"). */
export type MeasuredLots = Readonly<Record<string, { mean: number; deviation: number }>>

export type DrawOptions = {
  netlist: Netlist
  boards: number
  seed: number
  /** `uniform` when left out. */
  spread?: Spread
  measured?: MeasuredLots
}

/**
 * Value vectors of many boards, each built from lots of its own.
 *
 * @returns one vector per board
 */
export const drawValues = ({
  netlist,
  boards,
  seed,
  spread = 'uniform',
  measured = {},
}: DrawOptions): Float64Array[] => {
  const random = new RandomSource(seed)
  const { parameters, nominal } = netlist
  const spreading = parameters.flatMap((p, i) => (p.spreadLow !== p.spreadHigh || measured[p.name] ? [i] : []))
  const groups = indexNames(spreading.map((i) => parameters[i].group))
  const lots = indexNames(spreading.map((i) => lotOf(parameters[i])))
  return Array.from({ length: boards }, () => {
    const values = nominal.slice()
    const own = Float64Array.from({ length: groups.count }, () => random.normal())
    const lot = Float64Array.from({ length: lots.count }, () => random.normal())
    spreading.forEach((i, k) => {
      const parameter = parameters[i]
      const deviate = lotDeviate(parameter.lotShare, lot[lots.place[k]], own[groups.place[k]])
      const known = measured[parameter.name]
      values[i] = known ? known.mean + known.deviation * deviate : values[i] * spreadFactor(parameter, spread, deviate)
    })
    return values
  })
}

const indexNames = (names: string[]): { place: number[]; count: number } => {
  const known = new Map<string, number>()
  const place = names.map((name) => {
    const found = known.get(name) ?? known.size
    known.set(name, found)
    return found
  })
  return { place, count: known.size }
}

/**
 * Standard deviation of ln(value) of each parameter, and how far it can go at most: what linear estimates of the spread need.
 * For a share u of the tolerance's width the standard deviation is 1/√12 (uniform) or 1/6 (normal, tolerance at three sigma).
 */
export const logSpreads = (
  netlist: Netlist,
  spread: Spread = 'uniform',
  measured: MeasuredLots = {},
): { deviation: Float64Array; low: Float64Array; high: Float64Array } => {
  const ends = (p: Netlist['parameters'][number]) => {
    const known = measured[p.name]
    if (known) return { low: 1 - (3 * known.deviation) / known.mean, high: 1 + (3 * known.deviation) / known.mean }
    return { low: 1 + p.spreadLow, high: 1 + p.spreadHigh }
  }
  const share = spread === 'uniform' ? 1 / Math.sqrt(12) : spread === 'normal' ? 1 / 6 : 0
  const log = (x: number) => Math.log(Math.max(x, 0.01))
  return {
    deviation: Float64Array.from(netlist.parameters, (p) => {
      const { low, high } = ends(p)
      return (log(high) - log(low)) * (measured[p.name] ? 1 / 6 : share)
    }),
    low: Float64Array.from(netlist.parameters, (p) => log(ends(p).low)),
    high: Float64Array.from(netlist.parameters, (p) => log(ends(p).high)),
  }
}
