import { requirePositive } from './check-argument.ts'
import { regularisedGamma } from './incomplete-gamma.ts'
import { positiveQuantile } from './positive-quantile.ts'
import type { Tail } from './tail.ts'

/**
 * Probability that a chi-square variable lies up to x (or beyond it, with `tail: 'upper'`).
 * Source: Abramowitz and Stegun 26.4.19 (incomplete gamma function).
 * @param options.degreesOfFreedom above 0, need not be whole; throws `bad-argument`
 */
export function chiSquareProbability(options: { x: number; degreesOfFreedom: number; tail?: Tail }): number {
  requirePositive('The degrees of freedom', options.degreesOfFreedom)
  return regularisedGamma({ shape: options.degreesOfFreedom / 2, x: options.x / 2 })[options.tail ?? 'lower']
}

/**
 * The value that a chi-square variable stays below (or exceeds, with `tail: 'upper'`) with a given probability.
 * @param options.probability strictly between 0 and 1; throws `bad-argument`
 */
export function chiSquareQuantile(options: { probability: number; degreesOfFreedom: number; tail?: Tail }): number {
  const { probability, degreesOfFreedom, tail = 'lower' } = options
  requirePositive('The degrees of freedom', degreesOfFreedom)
  const tails = (x: number) => regularisedGamma({ shape: degreesOfFreedom / 2, x: x / 2 })
  return positiveQuantile({ tails, probability, tail, start: degreesOfFreedom })
}
