import { BoardwrightError } from '../model/error.ts'
import { binomialTails } from './binomial.ts'
import { requireCount, requireProbability } from './check-argument.ts'

/** A session of forced choices between two; guessing is right half the time. */
const guessing = 0.5

const atLeast = (options: { correct: number; trials: number; chance: number }): number =>
  binomialTails({ trials: options.trials, chance: options.chance, count: options.correct - 1 }).upper

/**
 * Chance of at least so many correct answers by guessing alone: the one-sided p value of an A/B/X session.
 * Source: binomial law with p = 1/2. Throws `bad-argument`.
 */
export function abxProbability(options: { correct: number; trials: number }): number {
  requireCount('The number of trials', options.trials, 1)
  requireCount('The number correct', options.correct)
  if (options.correct > options.trials) {
    throw new BoardwrightError('bad-argument', 'There can not be more correct answers than trials.')
  }
  return atLeast({ ...options, chance: guessing })
}

/**
 * Smallest number of correct answers whose chance by guessing is at most alpha; undefined when not even all correct is
 * enough. Throws `bad-argument`.
 */
export function abxCriticalCount(options: { trials: number; alpha: number }): number | undefined {
  requireCount('The number of trials', options.trials, 1)
  requireProbability('Alpha', options.alpha)
  for (let correct = 0; correct <= options.trials; correct++) {
    if (abxProbability({ correct, trials: options.trials }) <= options.alpha) return correct
  }
  return undefined
}

/**
 * Chance that a listener who is right with a given share reaches the criterion: the power of the session.
 * Throws `bad-argument`.
 */
export function abxPower(options: { trials: number; criterion: number; shareCorrect: number }): number {
  requireCount('The number of trials', options.trials, 1)
  requireCount('The criterion', options.criterion)
  return atLeast({ correct: options.criterion, trials: options.trials, chance: options.shareCorrect })
}
