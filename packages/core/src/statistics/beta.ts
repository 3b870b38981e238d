import { requirePositive } from './check-argument.ts'
import { regularisedBeta } from './incomplete-beta.ts'
import { positiveQuantile } from './positive-quantile.ts'
import type { Tail } from './tail.ts'

/**
 * The value that a beta variable stays below (or exceeds, with `tail: 'upper'`) with a given probability.
 * Solved for the odds x / (1 - x), so that quantiles near 1 keep their digits too.
 * @param options.probability strictly between 0 and 1; throws `bad-argument`
 */
export function betaQuantile(options: { probability: number; a: number; b: number; tail?: Tail }): number {
  const { probability, a, b, tail = 'lower' } = options
  requirePositive('The first shape', a)
  requirePositive('The second shape', b)
  const odds = positiveQuantile({
    tails: (r) => regularisedBeta({ a, b, x: r / (1 + r), complement: 1 / (1 + r) }),
    probability,
    tail,
    start: a / b,
  })
  return odds / (1 + odds)
}
