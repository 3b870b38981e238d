import { requireNotNegative } from './check-argument.ts'
import { regularisedGamma } from './incomplete-gamma.ts'
import { poissonKernel } from './saddle-point.ts'
import { smallestCount } from './smallest-count.ts'
import type { Tails } from './tail.ts'

/** Probability of exactly `count` events when `mean` are expected. Source: Loader 2000. Throws `bad-argument`. */
export function poissonDensity(options: { mean: number; count: number }): number {
  requireNotNegative('The mean', options.mean)
  if (!Number.isInteger(options.count) || options.count < 0) return 0
  return poissonKernel(options.count, options.mean)
}

/**
 * Probabilities of at most `count` events (lower) and of more than `count` (upper).
 * Source: Abramowitz and Stegun 26.4.21 (incomplete gamma function). Throws `bad-argument`.
 */
export function poissonTails(options: { mean: number; count: number }): Tails {
  requireNotNegative('The mean', options.mean)
  const count = Math.floor(options.count)
  if (count < 0) return { lower: 0, upper: 1 }
  if (count === Number.POSITIVE_INFINITY) return { lower: 1, upper: 0 }
  const gamma = regularisedGamma({ shape: count + 1, x: options.mean })
  return { lower: gamma.upper, upper: gamma.lower }
}

/** Smallest count whose cumulative probability reaches a level. Throws `bad-argument`. */
export function poissonQuantile(options: { mean: number; probability: number }): number {
  const { mean, probability } = options
  return smallestCount({ cumulative: (count) => poissonTails({ mean, count }).lower, probability })
}
