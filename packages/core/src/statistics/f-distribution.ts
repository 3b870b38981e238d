import { requireNotNegative, requirePositive } from './check-argument.ts'
import { regularisedBeta } from './incomplete-beta.ts'
import { positiveQuantile } from './positive-quantile.ts'
import type { Tail, Tails } from './tail.ts'

interface Degrees {
  /** Degrees of freedom of the upper mean square. */
  numerator: number
  /** Degrees of freedom of the lower mean square. */
  denominator: number
}

function tailsAt(f: number, degrees: Degrees): Tails {
  const { numerator, denominator } = degrees
  const product = numerator * f
  if (product === Number.POSITIVE_INFINITY) return { lower: 1, upper: 0 }
  const x = product / (product + denominator)
  const complement = denominator / (product + denominator)
  return regularisedBeta({ a: numerator / 2, b: denominator / 2, x, complement })
}

function checkDegrees(degrees: Degrees): void {
  requirePositive('The degrees of freedom of the numerator', degrees.numerator)
  requirePositive('The degrees of freedom of the denominator', degrees.denominator)
}

/**
 * Probability that a ratio of two mean squares lies up to f (or beyond it, with `tail: 'upper'`).
 * Source: Abramowitz and Stegun 26.6.2 (incomplete beta function). Throws `bad-argument`.
 */
export function fProbability(options: { f: number; degreesOfFreedom: Degrees; tail?: Tail }): number {
  checkDegrees(options.degreesOfFreedom)
  if (options.f !== Number.POSITIVE_INFINITY) requireNotNegative('The ratio F', options.f)
  return tailsAt(options.f, options.degreesOfFreedom)[options.tail ?? 'lower']
}

/**
 * The value that a ratio of two mean squares stays below (or exceeds, with `tail: 'upper'`) with a given probability.
 * @param options.probability strictly between 0 and 1; throws `bad-argument`
 */
export function fQuantile(options: { probability: number; degreesOfFreedom: Degrees; tail?: Tail }): number {
  const { probability, degreesOfFreedom, tail = 'lower' } = options
  checkDegrees(degreesOfFreedom)
  return positiveQuantile({ tails: (f) => tailsAt(f, degreesOfFreedom), probability, tail, start: 1 })
}
