import { requireCount, requireFinite, requireNotNegative } from './check-argument.ts'
import { type Interval, outsideProbability, type Sides } from './interval.ts'
import { studentTQuantile } from './student-t.ts'

/**
 * Limits of the mean of a normal population, from a sample's mean and standard deviation.
 * Source: NIST/SEMATECH e-Handbook 1.3.5.2 (Student's t). Throws `bad-argument`.
 * @param options.count 2 or more
 */
export function meanInterval(options: {
  mean: number
  standardDeviation: number
  count: number
  confidence: number
  sides?: Sides
}): Interval {
  const { mean, standardDeviation, count } = options
  requireFinite('The mean', mean)
  requireNotNegative('The standard deviation', standardDeviation)
  requireCount('The count', count, 2)
  const outside = outsideProbability(options)
  const reach = (probability: number): number =>
    probability === 0
      ? Number.POSITIVE_INFINITY
      : (studentTQuantile({ probability, degreesOfFreedom: count - 1, tail: 'upper' }) * standardDeviation) /
        Math.sqrt(count)
  return { lower: mean - reach(outside.lower), upper: mean + reach(outside.upper) }
}
