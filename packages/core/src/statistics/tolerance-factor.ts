import { requireCount, requireProbability } from './check-argument.ts'
import { chiSquareQuantile } from './chi-square.ts'
import { nonCentralTQuantile } from './non-central-t.ts'
import { normalQuantile } from './normal.ts'

/** A tolerance interval is to hold a share of the population, with a confidence, from a sample of so many. */
export interface ToleranceWish {
  count: number
  /** Share of the population to be held, 0 to 1. */
  coverage: number
  confidence: number
}

function check(wish: ToleranceWish): void {
  requireCount('The count', wish.count, 2)
  requireProbability('The coverage', wish.coverage)
  requireProbability('The confidence', wish.confidence)
}

/**
 * Factor k so that mean +/- k standard deviations holds the share; approximate.
 * Source: Howe, J. Am. Stat. Assoc. 64 (1969) 610-620, as in NIST/SEMATECH e-Handbook 7.2.6.3. Throws `bad-argument`.
 */
export function twoSidedToleranceFactor(wish: ToleranceWish): number {
  check(wish)
  const degreesOfFreedom = wish.count - 1
  const z = normalQuantile({ probability: (1 - wish.coverage) / 2, tail: 'upper' })
  const chi = chiSquareQuantile({ probability: 1 - wish.confidence, degreesOfFreedom })
  return z * Math.sqrt((degreesOfFreedom * (1 + 1 / wish.count)) / chi)
}

/**
 * Factor k so that the share lies below mean + k standard deviations (or above mean - k standard deviations); exact.
 * Source: NIST/SEMATECH e-Handbook 7.2.6.3: quantile of a non-central t over the root of n. Throws `bad-argument`.
 */
export function oneSidedToleranceFactor(wish: ToleranceWish): number {
  check(wish)
  const z = normalQuantile({ probability: wish.coverage })
  const t = nonCentralTQuantile({
    probability: wish.confidence,
    degreesOfFreedom: wish.count - 1,
    nonCentrality: z * Math.sqrt(wish.count),
  })
  return t / Math.sqrt(wish.count)
}
