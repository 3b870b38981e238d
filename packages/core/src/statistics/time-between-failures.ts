import { requireCount, requirePositive } from './check-argument.ts'
import { exactCountInterval } from './count-interval.ts'
import type { Interval, Sides } from './interval.ts'

/** Mean time between failures; undefined as an estimate when nothing failed. Same unit as the time given. */
export interface TimeBetweenFailures extends Interval {
  estimate: number | undefined
}

/**
 * Mean time between failures of a test that ended after a set time, with exact limits; constant failure rate.
 * Source: NIST/SEMATECH e-Handbook 8.4.5.1: lower 2T / chi2(alpha/2; 2r + 2), upper 2T / chi2(1 - alpha/2; 2r).
 * With no failure and a one-sided limit the lower one is T / -ln(1 - confidence). Throws `bad-argument`.
 * @param options.totalTime time on test of all units together
 */
export function meanTimeBetweenFailures(options: {
  totalTime: number
  failures: number
  confidence: number
  sides?: Sides
}): TimeBetweenFailures {
  const { totalTime, failures, confidence, sides = 'two' } = options
  requirePositive('The total time', totalTime)
  requireCount('The number of failures', failures)
  // A lower limit of the time is an upper limit of the rate.
  const turned = { two: 'two', lower: 'upper', upper: 'lower' } as const satisfies Record<Sides, Sides>
  const rate = exactCountInterval({ count: failures, exposure: totalTime, confidence, sides: turned[sides] })
  return {
    estimate: failures === 0 ? undefined : totalTime / failures,
    lower: 1 / rate.upper,
    upper: rate.lower === 0 ? Number.POSITIVE_INFINITY : 1 / rate.lower,
  }
}
