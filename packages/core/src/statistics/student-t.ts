import { requirePositive, requireProbability } from './check-argument.ts'
import { regularisedBeta } from './incomplete-beta.ts'
import { positiveQuantile } from './positive-quantile.ts'
import type { Tail, Tails } from './tail.ts'

function tailsFromMiddle(t: number, degreesOfFreedom: number): Tails {
  const square = t * t
  const x = degreesOfFreedom / (degreesOfFreedom + square)
  const complement = square / (degreesOfFreedom + square)
  const beta = regularisedBeta({ a: degreesOfFreedom / 2, b: 0.5, x, complement })
  return { lower: 0.5 + beta.upper / 2, upper: beta.lower / 2 }
}

/**
 * Probability that Student's t lies up to a value (or beyond it, with `tail: 'upper'`).
 * Source: Abramowitz and Stegun 26.7.1 with 26.5.27 (incomplete beta function).
 * @param options.degreesOfFreedom above 0, need not be whole; throws `bad-argument`
 */
export function studentTProbability(options: { t: number; degreesOfFreedom: number; tail?: Tail }): number {
  const { t, degreesOfFreedom, tail = 'lower' } = options
  requirePositive('The degrees of freedom', degreesOfFreedom)
  const tails = tailsFromMiddle(Math.abs(t), degreesOfFreedom)
  return t < 0 === (tail === 'lower') ? tails.upper : tails.lower
}

/**
 * The value that Student's t stays below (or exceeds, with `tail: 'upper'`) with a given probability.
 * @param options.probability strictly between 0 and 1; throws `bad-argument`
 */
export function studentTQuantile(options: { probability: number; degreesOfFreedom: number; tail?: Tail }): number {
  const { probability, degreesOfFreedom, tail = 'lower' } = options
  requirePositive('The degrees of freedom', degreesOfFreedom)
  requireProbability('A probability', probability)
  if (probability === 0.5) return 0
  const t = positiveQuantile({
    tails: (x) => tailsFromMiddle(x, degreesOfFreedom),
    probability: Math.min(probability, 1 - probability),
    tail: 'upper',
    start: 1,
  })
  return probability > 0.5 === (tail === 'lower') ? t : -t
}
