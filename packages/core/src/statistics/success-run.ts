import { requireCount, requireProbability } from './check-argument.ts'
import { exactProportionInterval } from './proportion-interval.ts'

/**
 * How many must be tried, with no failure, to show a reliability with a confidence.
 * Source: zero-failure binomial bound, n = ln(1 - confidence) / ln(reliability), rounded up. Throws `bad-argument`.
 */
export function successRunSize(options: { reliability: number; confidence: number }): { count: number; exact: number } {
  requireProbability('The reliability', options.reliability)
  requireProbability('The confidence', options.confidence)
  const exact = Math.log1p(-options.confidence) / Math.log(options.reliability)
  return { count: Math.ceil(exact * (1 - 1e-12)), exact }
}

/** Reliability shown with a confidence when so many were tried and none failed. Throws `bad-argument`. */
export function successRunReliability(options: { count: number; confidence: number }): number {
  requireCount('The count', options.count, 1)
  const { count, confidence } = options
  return exactProportionInterval({ successes: count, trials: count, confidence, sides: 'lower' }).lower
}
