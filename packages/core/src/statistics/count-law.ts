import { BoardwrightError } from '../model/error.ts'
import { requireNotNegative } from './check-argument.ts'
import { negativeBinomialDensity, negativeBinomialTails } from './negative-binomial.ts'
import { poissonDensity, poissonTails } from './poisson.ts'
import { smallestCount } from './smallest-count.ts'
import type { Tails } from './tail.ts'

/** How a count scatters: Poisson (variance = mean), or negative binomial (variance above the mean). */
export type CountLaw = { kind: 'poisson'; mean: number } | { kind: 'negative-binomial'; mean: number; variance: number }

/** Negative binomial of a mean and a larger variance; Poisson when the variance does not exceed the mean. */
export function countLaw(options: { mean: number; variance: number }): CountLaw {
  const { mean, variance } = options
  requireNotNegative('The mean', mean)
  requireNotNegative('The variance', variance)
  // So close to Poisson the size would exceed 1e9, where no digit of a probability changes.
  if (mean === 0 || variance <= mean * (1 + 1e-9 * Math.max(1, mean))) return { kind: 'poisson', mean }
  return { kind: 'negative-binomial', mean, variance }
}

function sizeOf(law: { mean: number; variance: number }): number {
  if (!(law.variance > law.mean)) {
    throw new BoardwrightError('bad-argument', 'A negative binomial count needs a variance above its mean.')
  }
  return law.mean ** 2 / (law.variance - law.mean)
}

/** Probability of exactly `count`. Throws `bad-argument`. */
export function countDensity(law: CountLaw, count: number): number {
  if (law.kind === 'poisson') return poissonDensity({ mean: law.mean, count })
  return negativeBinomialDensity({ mean: law.mean, size: sizeOf(law), count })
}

/** Probabilities of at most `count` (lower) and of more (upper). Throws `bad-argument`. */
export function countTails(law: CountLaw, count: number): Tails {
  if (law.kind === 'poisson') return poissonTails({ mean: law.mean, count })
  return negativeBinomialTails({ mean: law.mean, size: sizeOf(law), count })
}

/** Smallest count whose cumulative probability reaches a level. Throws `bad-argument`. */
export const countQuantile = (law: CountLaw, probability: number): number =>
  smallestCount({ cumulative: (count) => countTails(law, count).lower, probability })

/**
 * Expected excess of the count over a level: the sum of P(count > k) from k = level on.
 * Source: E max(0, D - s) = sum of the upper tail (Hadley and Whitin, "Analysis of Inventory Systems", appendix 3).
 */
export function expectedExcess(law: CountLaw, level: number): number {
  if (level < 0) return law.mean - level
  let sum = 0
  for (let k = level; ; k++) {
    const beyond = countTails(law, k).upper
    sum += beyond
    if (beyond <= sum * 1e-17 && k >= law.mean) return sum
  }
}
