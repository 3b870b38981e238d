import { BoardwrightError } from '../model/error.ts'
import { requireProbability } from './check-argument.ts'
import { findRoot } from './find-root.ts'
import type { Tail, Tails } from './tail.ts'

/**
 * The value of a continuous variable on (0, infinity) that leaves a given probability in one tail.
 * Solved for the smaller tail and in the logarithms of both value and probability, so that far tails keep their digits.
 * @param options.tails both tails at a value
 * @param options.start any value of the right order, above 0
 */
export function positiveQuantile(options: {
  tails: (x: number) => Tails
  probability: number
  tail: Tail
  start: number
}): number {
  const { tails, probability, start } = options
  requireProbability('A probability', probability)
  const other = options.tail === 'lower' ? 'upper' : 'lower'
  const tail = probability <= 0.5 ? options.tail : other
  const wanted = Math.log(probability <= 0.5 ? probability : 1 - probability)
  // Rising in ln x whichever tail is used.
  const sign = tail === 'lower' ? 1 : -1
  const f = (u: number): number => sign * (Math.max(Math.log(tails(Math.exp(u))[tail]), -1e6) - wanted)
  let from = Math.log(start)
  let to = from
  for (let step = 0.5; f(from) > 0; step *= 2) from = bounded(from - step)
  for (let step = 0.5; f(to) < 0; step *= 2) to = bounded(to + step)
  return Math.exp(findRoot({ f, from, to }))
}

/** Keeps e^u inside what a double holds; a quantile outside it cannot be given. */
function bounded(u: number): number {
  if (Math.abs(u) < 1e4) return Math.max(-744, Math.min(709, u))
  throw new BoardwrightError('bad-argument', 'This quantile is too large or too small to be computed.')
}
