import { BoardwrightError } from '../model/error.ts'
import { compensatedSum } from './exact-sum.ts'
import { splitMean, summarise } from './mean-and-deviation.ts'

/**
 * Autocorrelation of a sequence with itself shifted: sum of products of deviations over the sum of squares.
 * Source: NIST/SEMATECH e-Handbook 1.3.5.12. Throws `bad-argument` for a constant sequence or a shift too long.
 */
export function autocorrelation(options: { values: ArrayLike<number>; lag: number }): number {
  const { values, lag } = options
  const { sumOfSquares } = summarise(values)
  const centre = splitMean(values)
  if (!(Number.isInteger(lag) && lag >= 0 && lag < values.length) || sumOfSquares === 0) {
    throw new BoardwrightError(
      'bad-argument',
      'An autocorrelation needs values that differ and a lag below their number.',
    )
  }
  const deviation = (x: number): number => x - centre.mean - centre.rest
  const products = compensatedSum(values, (x, i) => (i < lag ? 0 : deviation(x) * deviation(values[i - lag]!)))
  return products / sumOfSquares
}
