import { requireValues } from './check-argument.ts'
import { compensatedSum } from './exact-sum.ts'

/** What is left of the mean after rounding, so that deviations can be taken from the unrounded mean. */
interface SplitMean {
  mean: number
  rest: number
}

/** Mean in two parts: the deviations from a rounded mean sum to what the rounding lost. */
export function splitMean(values: ArrayLike<number>): SplitMean {
  const rough = compensatedSum(values, (x) => x) / values.length
  const correction = compensatedSum(values, (x) => x - rough) / values.length
  const mean = rough + correction
  return { mean, rest: rough - mean + correction }
}

/** Arithmetic mean, with compensated summation. Throws `bad-argument` when there is no value. */
export function mean(values: ArrayLike<number>): number {
  requireValues('The sample', values)
  return splitMean(values).mean
}

/** Count, mean, sum of squared deviations and standard deviation (n - 1) of a sample. */
export interface SampleSummary {
  count: number
  mean: number
  sumOfSquares: number
  standardDeviation: number
}

/**
 * Mean and standard deviation by two passes with the corrected mean.
 * Source: Chan, Golub and LeVeque, "Algorithms for computing the sample variance", Am. Stat. 37 (1983) 242-247.
 * @param values at least two; throws `bad-argument`
 */
export function summarise(values: ArrayLike<number>): SampleSummary {
  requireValues('The sample', values, 2)
  const { mean, rest } = splitMean(values)
  const sumOfSquares = compensatedSum(values, (x) => (x - mean - rest) ** 2)
  const count = values.length
  return { count, mean, sumOfSquares, standardDeviation: Math.sqrt(sumOfSquares / (count - 1)) }
}
