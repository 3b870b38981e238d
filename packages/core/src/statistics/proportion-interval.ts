import { BoardwrightError } from '../model/error.ts'
import { betaQuantile } from './beta.ts'
import { requireCount } from './check-argument.ts'
import { type Interval, outsideProbability, type Sides } from './interval.ts'
import { normalQuantile } from './normal.ts'

/** So many successes of so many trials. */
export interface Tally {
  successes: number
  trials: number
}

/** A share, with its limits; all between 0 and 1. */
export interface ProportionInterval extends Interval {
  estimate: number
}

function check(tally: Tally): void {
  requireCount('The number of trials', tally.trials, 1)
  requireCount('The number of successes', tally.successes)
  if (tally.successes > tally.trials) {
    throw new BoardwrightError('bad-argument', 'There can not be more successes than trials.')
  }
}

/**
 * Exact limits of a proportion: covers the true share with at least the stated confidence, whatever it is.
 * Source: Clopper and Pearson, Biometrika 26 (1934) 404-413, by beta quantiles. Throws `bad-argument`.
 */
export function exactProportionInterval(options: Tally & { confidence: number; sides?: Sides }): ProportionInterval {
  check(options)
  const { successes, trials } = options
  const failures = trials - successes
  const outside = outsideProbability(options)
  const noLower = outside.lower === 0 || successes === 0
  const noUpper = outside.upper === 0 || failures === 0
  return {
    estimate: successes / trials,
    lower: noLower ? 0 : betaQuantile({ probability: outside.lower, a: successes, b: failures + 1 }),
    upper: noUpper ? 1 : betaQuantile({ probability: outside.upper, a: successes + 1, b: failures, tail: 'upper' }),
  }
}

/**
 * Score limits of a proportion: on average near the stated confidence, shorter than the exact limits.
 * Source: Wilson, J. Am. Stat. Assoc. 22 (1927) 209-212. Throws `bad-argument`.
 */
export function scoreProportionInterval(options: Tally & { confidence: number }): ProportionInterval {
  check(options)
  const { successes, trials } = options
  const estimate = successes / trials
  const outside = outsideProbability(options)
  const z = normalQuantile({ probability: outside.upper, tail: 'upper' })
  const share = (z * z) / trials
  const centre = (estimate + share / 2) / (1 + share)
  const half = (z / (1 + share)) * Math.sqrt((estimate * (1 - estimate)) / trials + share / (4 * trials))
  return {
    estimate,
    lower: successes === 0 ? 0 : centre - half,
    upper: successes === trials ? 1 : centre + half,
  }
}
