import { requireProbability } from './check-argument.ts'

/** A cumulative probability this close below the level counts as reaching it: it is rounding, not the distribution. */
const rounding = 1e-14

/**
 * Smallest whole number k >= 0 whose cumulative probability reaches a level: the quantile of a count.
 * @param options.cumulative P(X <= k), not falling in k
 * @param options.probability the level, strictly between 0 and 1; throws `bad-argument`
 */
export function smallestCount(options: { cumulative: (k: number) => number; probability: number }): number {
  requireProbability('A probability', options.probability)
  const reached = (k: number): boolean => options.cumulative(k) >= options.probability * (1 - rounding)
  if (reached(0)) return 0
  let below = 0
  let above = 1
  while (!reached(above)) {
    below = above
    above *= 2
  }
  while (above - below > 1) {
    const middle = Math.floor((below + above) / 2)
    if (reached(middle)) above = middle
    else below = middle
  }
  return above
}
