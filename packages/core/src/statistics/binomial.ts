import { BoardwrightError } from '../model/error.ts'
import { requireCount } from './check-argument.ts'
import { regularisedBeta } from './incomplete-beta.ts'
import { binomialKernel } from './saddle-point.ts'
import { smallestCount } from './smallest-count.ts'
import type { Tails } from './tail.ts'

/** A number of independent trials with the same chance. */
export interface BinomialLaw {
  trials: number
  /** Chance of one trial, 0 to 1. */
  chance: number
}

function check(law: BinomialLaw): void {
  requireCount('The number of trials', law.trials)
  if (!(law.chance >= 0 && law.chance <= 1)) {
    throw new BoardwrightError('bad-argument', `The chance must be 0 to 1; it is ${law.chance}.`)
  }
}

/** Probability of exactly `count` successes. Source: Loader 2000 (saddle-point form). Throws `bad-argument`. */
export function binomialDensity(options: BinomialLaw & { count: number }): number {
  const { trials, chance, count } = options
  check(options)
  if (!Number.isInteger(count) || count < 0 || count > trials) return 0
  return binomialKernel({ x: count, y: trials - count, p: chance, q: 1 - chance })
}

/**
 * Probabilities of at most `count` successes (lower) and of more than `count` (upper).
 * Source: Abramowitz and Stegun 26.5.24 (incomplete beta function). Throws `bad-argument`.
 */
export function binomialTails(options: BinomialLaw & { count: number }): Tails {
  const { trials, chance } = options
  check(options)
  const count = Math.floor(options.count)
  if (count < 0) return { lower: 0, upper: 1 }
  if (count >= trials) return { lower: 1, upper: 0 }
  const beta = regularisedBeta({ a: count + 1, b: trials - count, x: chance })
  return { lower: beta.upper, upper: beta.lower }
}

/** Smallest count whose cumulative probability reaches a level. Throws `bad-argument`. */
export function binomialQuantile(options: BinomialLaw & { probability: number }): number {
  check(options)
  return smallestCount({
    cumulative: (count) => binomialTails({ trials: options.trials, chance: options.chance, count }).lower,
    probability: options.probability,
  })
}
