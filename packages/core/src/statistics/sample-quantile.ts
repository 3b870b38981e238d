import { BoardwrightError } from '../model/error.ts'
import { requireValues } from './check-argument.ts'

/**
 * How a quantile is read from a sorted sample; the number in Hyndman and Fan's list is given behind each.
 * `inverse-cdf` (1) always gives a sample value; the others interpolate and differ in the position taken.
 */
export type QuantileMethod = 'inverse-cdf' | 'hazen' | 'weibull' | 'linear' | 'median-unbiased' | 'normal-unbiased'

/** Position = (n + 1 - a - b) p + a, counted from 1. */
const plottingPosition: Record<Exclude<QuantileMethod, 'inverse-cdf'>, { a: number; b: number }> = {
  hazen: { a: 0.5, b: 0.5 },
  weibull: { a: 0, b: 0 },
  linear: { a: 1, b: 1 },
  'median-unbiased': { a: 1 / 3, b: 1 / 3 },
  'normal-unbiased': { a: 3 / 8, b: 3 / 8 },
}

/**
 * Quantile of a sample.
 * Source: Hyndman and Fan, "Sample quantiles in statistical packages", Am. Stat. 50 (1996) 361-365.
 * @param options.probability 0 (smallest) to 1 (largest); throws `bad-argument`
 */
export function sampleQuantile(options: {
  values: ArrayLike<number>
  probability: number
  method: QuantileMethod
}): number {
  const { probability, method } = options
  requireValues('The sample', options.values)
  if (!(probability >= 0 && probability <= 1)) {
    throw new BoardwrightError('bad-argument', `The probability must be 0 to 1; it is ${probability}.`)
  }
  const sorted = Float64Array.from(options.values).sort()
  const n = sorted.length
  const at = (rank: number): number => sorted[Math.min(n, Math.max(1, rank)) - 1]!
  if (method === 'inverse-cdf') return at(Math.ceil(n * probability))
  const { a, b } = plottingPosition[method]
  const position = (n + 1 - a - b) * probability + a
  // A position that should be whole but was rounded must not fall one rank short.
  const rank = Math.floor(position + 4 * Number.EPSILON * position)
  const fraction = Math.max(0, position - rank)
  return at(rank) + fraction * (at(rank + 1) - at(rank))
}
