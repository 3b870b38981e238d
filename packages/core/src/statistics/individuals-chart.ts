import { chartConstants } from './chart-constants.ts'
import { requireValues } from './check-argument.ts'
import type { ControlLimits } from './control-limits.ts'
import { mean } from './mean-and-deviation.ts'

/** Control chart of single values with their moving ranges. */
export interface IndividualsChart {
  values: ControlLimits
  /** Standard deviation within the process: mean moving range over d2. */
  standardDeviation: number
  meanMovingRange: number
  /** One per pair of neighbours: `ranges[i]` is between values i and i + 1. */
  ranges: Float64Array
  rangeLimits: ControlLimits
}

/** Absolute differences of neighbours, one fewer than the values. */
export const movingRanges = (values: ArrayLike<number>): Float64Array =>
  Float64Array.from({ length: Math.max(0, values.length - 1) }, (_, i) => Math.abs(values[i + 1]! - values[i]!))

/**
 * Limits of an individuals and moving-range chart from values of a quiet period.
 * Source: NIST/SEMATECH e-Handbook 6.3.2.2: mean +/- 3 mean moving range / d2(2), with the exact d2 = 2 / sqrt(pi).
 * @param values 2 or more; throws `bad-argument`
 */
export function individualsChart(values: ArrayLike<number>): IndividualsChart {
  requireValues('The values', values, 2)
  const { d2, D3, D4 } = chartConstants(2)
  const ranges = movingRanges(values)
  const meanMovingRange = mean(ranges)
  const standardDeviation = meanMovingRange / d2
  const centre = mean(values)
  return {
    values: { centre, lower: centre - 3 * standardDeviation, upper: centre + 3 * standardDeviation },
    standardDeviation,
    meanMovingRange,
    ranges,
    rangeLimits: { centre: meanMovingRange, lower: D3 * meanMovingRange, upper: D4 * meanMovingRange },
  }
}
