import { BoardwrightError } from '../model/error.ts'
import { requireFinite, requirePositive, requireProbability } from './check-argument.ts'
import { normalProbability, normalQuantile } from './normal.ts'

/** A permitted range; a missing limit is open. */
export interface ToleranceLimits {
  lower?: number
  upper?: number
}

/** Probability that a normal value lies inside limits, each tail with its own accuracy. */
export function normalInside(options: ToleranceLimits & { mean: number; standardDeviation: number }): number {
  const { mean, standardDeviation, lower, upper } = options
  const z = (limit: number): number => (limit - mean) / standardDeviation
  const a = lower === undefined ? Number.NEGATIVE_INFINITY : z(lower)
  const b = upper === undefined ? Number.POSITIVE_INFINITY : z(upper)
  if (a > 0) return normalProbability({ z: a, tail: 'upper' }) - normalProbability({ z: b, tail: 'upper' })
  return normalProbability({ z: b }) - normalProbability({ z: a })
}

/**
 * Probability that the true value conforms, given an estimate with a normal uncertainty and no knowledge from before.
 * Source: JCGM 106:2012, 7.2 to 7.5. Throws `bad-argument`.
 */
export function conformanceProbability(
  options: ToleranceLimits & { estimate: number; standardUncertainty: number },
): number {
  const { estimate, standardUncertainty, lower, upper } = options
  requireFinite('The estimate', estimate)
  requirePositive('The standard uncertainty', standardUncertainty)
  checkLimits(options)
  return normalInside({ mean: estimate, standardDeviation: standardUncertainty, lower, upper })
}

/**
 * Width of a guard band at one limit, in standard uncertainties, so that a value accepted at its edge conforms with the
 * stated probability (the other limit far away).
 * Source: JCGM 106:2012, 8.3 and table 1. Throws `bad-argument`.
 */
export function guardBandFactor(options: { probability: number }): number {
  requireProbability('The probability', options.probability)
  return normalQuantile(options)
}

/** Refuses limits that permit nothing. */
export function checkLimits(limits: ToleranceLimits): void {
  const { lower, upper } = limits
  if (lower === undefined && upper === undefined) {
    throw new BoardwrightError('bad-argument', 'A tolerance needs a lower or an upper limit.')
  }
  if (lower !== undefined && upper !== undefined && !(lower < upper)) {
    throw new BoardwrightError('bad-argument', 'The lower limit must lie below the upper limit.')
  }
}
