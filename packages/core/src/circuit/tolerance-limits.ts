import type { Setting } from '../model/product.ts'
import type { Spread } from './draw-board.ts'
import type { Netlist } from './netlist.ts'
import { sensitivityOf } from './sensitivity.ts'
import { toleranceGridHz } from './tolerance-cloud.ts'
import { logSpreads, type MeasuredLots } from './tolerance-draw.ts'

type Options = {
  netlist: Netlist
  setting: Pick<Setting, 'positions'>
  frequencyHz?: ArrayLike<number>
  spread?: Spread
  measured?: MeasuredLots
}

/**
 * Worst case: every part at that end of its tolerance that pushes the gain up (or down), by the sensitivities at the values as
 * designed. Deviations from the circuit as designed, dB.
 */
export const worstCaseOf = (options: Options): { upperDb: Float64Array; lowerDb: Float64Array } => {
  const { netlist, setting, frequencyHz = toleranceGridHz } = options
  const { gainDb } = sensitivityOf({ netlist, positions: setting.positions, frequencyHz })
  const { low, high } = logSpreads(netlist, options.spread, options.measured)
  const upperDb = new Float64Array(frequencyHz.length)
  const lowerDb = new Float64Array(frequencyHz.length)
  gainDb.forEach((slope, p) => {
    slope.forEach((s, i) => {
      upperDb[i] += Math.max(s * low[p], s * high[p])
      lowerDb[i] += Math.min(s * low[p], s * high[p])
    })
  })
  return { upperDb, lowerDb }
}

/** How much of the spread of the gain one part causes. */
export type SpreadShare = {
  designator: string
  /** Share of the variance, mean over the grid, 0 to 1. */
  share: number
  /** Standard deviation it causes where it matters most, dB, and where that is. */
  deviationDb: number
  frequencyHz: number
}

/** The parts that cause the spread, the greatest first: variance by sensitivity, parts of one lot taken as independent. */
export const spreadSharesOf = (options: Options): SpreadShare[] => {
  const { netlist, setting, frequencyHz = toleranceGridHz } = options
  const { gainDb } = sensitivityOf({ netlist, positions: setting.positions, frequencyHz })
  const { deviation } = logSpreads(netlist, options.spread, options.measured)
  const byPart = new Map<string, Float64Array>()
  netlist.parameters.forEach(({ designator }, p) => {
    if (deviation[p] === 0) return
    const variance = byPart.get(designator) ?? new Float64Array(frequencyHz.length)
    gainDb[p].forEach((s, i) => {
      variance[i] += (s * deviation[p]) ** 2
    })
    byPart.set(designator, variance)
  })
  const total = new Float64Array(frequencyHz.length)
  for (const variance of byPart.values()) for (let i = 0; i < total.length; i++) total[i] += variance[i]
  const whole = total.reduce((a, b) => a + b, 0)
  return [...byPart]
    .map(([designator, variance]) => {
      const place = variance.reduce((best, x, i) => (x > variance[best] ? i : best), 0)
      return {
        designator,
        share: whole > 0 ? variance.reduce((a, b) => a + b, 0) / whole : 0,
        deviationDb: Math.sqrt(variance[place]),
        frequencyHz: frequencyHz[place],
      }
    })
    .sort((a, b) => b.share - a.share)
}
