import { requireNotNegative, requirePositive } from './check-argument.ts'
import { chiSquareQuantile } from './chi-square.ts'
import { type Interval, outsideProbability, type Sides } from './interval.ts'

/**
 * Limits of the standard deviation of a normal population.
 * Source: NIST/SEMATECH e-Handbook 7.2.3.1 (chi-square). Throws `bad-argument`.
 * @param options.degreesOfFreedom n - 1 for one sample; the sum of them for a pooled standard deviation
 */
export function deviationInterval(options: {
  standardDeviation: number
  degreesOfFreedom: number
  confidence: number
  sides?: Sides
}): Interval {
  const { standardDeviation, degreesOfFreedom } = options
  requireNotNegative('The standard deviation', standardDeviation)
  requirePositive('The degrees of freedom', degreesOfFreedom)
  const outside = outsideProbability(options)
  const factor = (probability: number, tail: 'lower' | 'upper'): number =>
    Math.sqrt(degreesOfFreedom / chiSquareQuantile({ probability, degreesOfFreedom, tail }))
  return {
    lower: outside.lower === 0 ? 0 : standardDeviation * factor(outside.lower, 'upper'),
    upper: outside.upper === 0 ? Number.POSITIVE_INFINITY : standardDeviation * factor(outside.upper, 'lower'),
  }
}
