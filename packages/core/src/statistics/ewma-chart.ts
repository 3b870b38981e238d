import { BoardwrightError } from '../model/error.ts'
import { requireFinite, requirePositive, requireValues } from './check-argument.ts'
import type { ControlLimits } from './control-limits.ts'

/** Exponentially weighted moving average chart; finds small lasting shifts sooner than single values do. */
export interface EwmaChart {
  /** One average per value. */
  averages: Float64Array
  /** Limits long after the start; the same for all points. */
  limits: ControlLimits
  /** Limits of each point, narrower in the beginning. */
  reaches: Float64Array
  /** Indices (from 0) of averages strictly beyond the limits in force. */
  beyond: number[]
}

/**
 * Source: NIST/SEMATECH e-Handbook 6.3.2.4: z = weight x + (1 - weight) z; variance s^2 weight / (2 - weight), times
 * 1 - (1 - weight)^2t for the exact limits of point t (Lucas and Saccucci 1990). Throws `bad-argument`.
 * @param options.weight 0 (exclusive) to 1
 * @param options.standardDeviation of single values
 * @param options.width half width of the limits in standard deviations of the average, commonly 3
 * @param options.startingLimits true: exact, narrower limits for the first points; false: those of the long run
 */
export function ewmaChart(options: {
  values: ArrayLike<number>
  centre: number
  standardDeviation: number
  weight: number
  width: number
  startingLimits?: boolean
}): EwmaChart {
  const { values, centre, standardDeviation, weight, width, startingLimits = false } = options
  requireValues('The values', values)
  requireFinite('The centre', centre)
  requirePositive('The standard deviation', standardDeviation)
  requirePositive('The width', width)
  if (!(weight > 0 && weight <= 1)) {
    throw new BoardwrightError('bad-argument', `The weight must be above 0 and at most 1; it is ${weight}.`)
  }
  const reach = width * standardDeviation * Math.sqrt(weight / (2 - weight))
  const averages = new Float64Array(values.length)
  let average = centre
  for (let i = 0; i < values.length; i++) {
    average += weight * (values[i]! - average)
    averages[i] = average
  }
  const reaches = averages.map((_, i) =>
    startingLimits ? reach * Math.sqrt(-Math.expm1(2 * (i + 1) * Math.log1p(-weight))) : reach,
  )
  return {
    averages,
    limits: { centre, lower: centre - reach, upper: centre + reach },
    reaches,
    beyond: Array.from(averages).flatMap((z, i) => (Math.abs(z - centre) > reaches[i]! ? [i] : [])),
  }
}
