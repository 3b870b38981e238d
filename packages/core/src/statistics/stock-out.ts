import { requireCount, requireNotNegative, requirePositive } from './check-argument.ts'
import { type CountLaw, countLaw, countTails } from './count-law.ts'
import { findRoot } from './find-root.ts'

/** Demand over a stretch of time, from that of one period; variance and mean grow with the time. */
function demandWithin(perPeriod: CountLaw, periods: number): CountLaw {
  const variance = perPeriod.kind === 'poisson' ? perPeriod.mean : perPeriod.variance
  return countLaw({ mean: perPeriod.mean * periods, variance: variance * periods })
}

/** Probability that more is wanted within some periods than there is on hand. Throws `bad-argument`. */
export function stockOutProbability(options: { onHand: number; demandPerPeriod: CountLaw; periods: number }): number {
  requireCount('The stock on hand', options.onHand)
  requireNotNegative('The time', options.periods)
  return countTails(demandWithin(options.demandPerPeriod, options.periods), options.onHand).upper
}

/**
 * Time after which the stock has failed to serve a demand with the stated probability: the stock-out date.
 * With Poisson demand this is the quantile of the (on hand + 1)-th sale's waiting time (gamma law).
 * @returns periods; Infinity without demand. Throws `bad-argument`
 */
export function stockOutTime(options: { onHand: number; demandPerPeriod: CountLaw; probability: number }): number {
  const { onHand, demandPerPeriod, probability } = options
  requireCount('The stock on hand', onHand)
  requirePositive('The probability', probability)
  if (demandPerPeriod.mean === 0) return Number.POSITIVE_INFINITY
  const f = (periods: number): number => stockOutProbability({ onHand, demandPerPeriod, periods }) - probability
  let to = (onHand + 1) / demandPerPeriod.mean
  while (f(to) < 0) to *= 2
  return findRoot({ f, from: 0, to })
}
