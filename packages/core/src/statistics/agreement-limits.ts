import { BoardwrightError } from '../model/error.ts'
import { requirePositive, requireValues } from './check-argument.ts'
import { type Interval, outsideProbability } from './interval.ts'
import { summarise } from './mean-and-deviation.ts'
import { studentTQuantile } from './student-t.ts'

/** How far two ways of measuring the same things differ; unit of the readings. */
export interface AgreementLimits {
  bias: number
  standardDeviation: number
  /** bias +/- factor times standard deviation. */
  limits: Interval
  biasInterval: Interval
  lowerLimitInterval: Interval
  upperLimitInterval: Interval
}

/**
 * Limits of agreement of paired readings (first minus second), with confidence limits.
 * Sources: Bland and Altman, Lancet 327 (1986) 307-310; standard error of a limit s sqrt(1/n + factor^2 / 2(n - 1)) from
 * Bland and Altman, Stat. Methods Med. Res. 8 (1999) 135-160. Throws `bad-argument`.
 * @param options.factor 1.96 when left out, for 95 % of differences
 */
export function agreementLimits(options: {
  first: ArrayLike<number>
  second: ArrayLike<number>
  confidence: number
  factor?: number
}): AgreementLimits {
  const { first, second, factor = 1.96 } = options
  requireValues('The first readings', first, 2)
  requireValues('The second readings', second, 2)
  requirePositive('The factor', factor)
  if (first.length !== second.length) {
    throw new BoardwrightError('bad-argument', 'Agreement needs two readings of every piece.')
  }
  const { mean, standardDeviation, count } = summarise(Float64Array.from(first, (x, i) => x - second[i]!))
  const probability = outsideProbability(options).upper
  const t = studentTQuantile({ probability, degreesOfFreedom: count - 1, tail: 'upper' })
  const around = (centre: number, standardError: number): Interval => ({
    lower: centre - t * standardError,
    upper: centre + t * standardError,
  })
  const limits = { lower: mean - factor * standardDeviation, upper: mean + factor * standardDeviation }
  const limitError = standardDeviation * Math.sqrt(1 / count + factor ** 2 / (2 * (count - 1)))
  return {
    bias: mean,
    standardDeviation,
    limits,
    biasInterval: around(mean, standardDeviation / Math.sqrt(count)),
    lowerLimitInterval: around(limits.lower, limitError),
    upperLimitInterval: around(limits.upper, limitError),
  }
}
