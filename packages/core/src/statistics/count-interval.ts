import { requireCount, requirePositive } from './check-argument.ts'
import { chiSquareQuantile } from './chi-square.ts'
import { type Interval, outsideProbability, type Sides } from './interval.ts'

/** Events per unit of exposure, with limits. */
export interface RateInterval extends Interval {
  estimate: number
}

/**
 * Exact limits of the expected number of events (or, with an exposure, of their rate) when so many were counted.
 * Source: Garwood, Biometrika 28 (1936) 437-442: half chi-square quantiles with 2 n and 2 n + 2 degrees of freedom.
 * @param options.exposure what the rate is per: hours, boards, weeks; 1 when left out. Throws `bad-argument`.
 */
export function exactCountInterval(options: {
  count: number
  exposure?: number
  confidence: number
  sides?: Sides
}): RateInterval {
  const { count, exposure = 1 } = options
  requireCount('The count', count)
  requirePositive('The exposure', exposure)
  const outside = outsideProbability(options)
  const half = (probability: number, degreesOfFreedom: number, tail: 'lower' | 'upper'): number =>
    chiSquareQuantile({ probability, degreesOfFreedom, tail }) / 2
  return {
    estimate: count / exposure,
    lower: outside.lower === 0 || count === 0 ? 0 : half(outside.lower, 2 * count, 'lower') / exposure,
    upper: outside.upper === 0 ? Number.POSITIVE_INFINITY : half(outside.upper, 2 * count + 2, 'upper') / exposure,
  }
}
