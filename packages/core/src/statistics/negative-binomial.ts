import { requirePositive } from './check-argument.ts'
import { regularisedBeta } from './incomplete-beta.ts'
import { binomialKernel } from './saddle-point.ts'
import { smallestCount } from './smallest-count.ts'
import type { Tails } from './tail.ts'

/**
 * A count that scatters more than Poisson: a Poisson mean that itself follows a gamma law.
 * Variance = mean + mean^2 / size; size need not be whole. Source: Johnson, Kemp and Kotz,
 * "Univariate Discrete Distributions", chapter 5.
 */
export interface NegativeBinomialLaw {
  mean: number
  size: number
}

const chances = (law: NegativeBinomialLaw): { stop: number; go: number } => {
  requirePositive('The mean', law.mean)
  requirePositive('The size', law.size)
  const sum = law.size + law.mean
  return { stop: law.size / sum, go: law.mean / sum }
}

/** Probability of exactly `count`. Throws `bad-argument`. */
export function negativeBinomialDensity(options: NegativeBinomialLaw & { count: number }): number {
  const { size, count } = options
  const { stop, go } = chances(options)
  if (!Number.isInteger(count) || count < 0) return 0
  return (size / (size + count)) * binomialKernel({ x: size, y: count, p: stop, q: go })
}

/** Probabilities of at most `count` (lower) and of more (upper), by the incomplete beta function (A&S 26.5.26). */
export function negativeBinomialTails(options: NegativeBinomialLaw & { count: number }): Tails {
  const { stop, go } = chances(options)
  const count = Math.floor(options.count)
  if (count < 0) return { lower: 0, upper: 1 }
  return regularisedBeta({ a: options.size, b: count + 1, x: stop, complement: go })
}

/** Smallest count whose cumulative probability reaches a level. Throws `bad-argument`. */
export function negativeBinomialQuantile(options: NegativeBinomialLaw & { probability: number }): number {
  const { mean, size, probability } = options
  return smallestCount({ cumulative: (count) => negativeBinomialTails({ mean, size, count }).lower, probability })
}
