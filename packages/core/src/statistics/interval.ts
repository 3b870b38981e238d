import { requireProbability } from './check-argument.ts'

/** Two limits; a missing limit is -Infinity or Infinity, or the end of what is possible (0 or 1 for a proportion). */
export interface Interval {
  lower: number
  upper: number
}

/** Whether an interval is closed on both sides, or is a lower or an upper bound only. */
export type Sides = 'two' | 'lower' | 'upper'

/** Probability left outside at each end: half of it for a two-sided interval, all of it for a bound. */
export function outsideProbability(options: { confidence: number; sides?: Sides }): { lower: number; upper: number } {
  const { confidence, sides = 'two' } = options
  requireProbability('The confidence', confidence)
  const outside = 1 - confidence
  if (sides === 'two') return { lower: outside / 2, upper: outside / 2 }
  return sides === 'lower' ? { lower: outside, upper: 0 } : { lower: 0, upper: outside }
}
