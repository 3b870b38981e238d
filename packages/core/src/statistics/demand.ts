import {
  requireCount,
  requireNotNegative,
  requirePositive,
  requireProbability,
  requireValues,
} from './check-argument.ts'
import { chiSquareProbability } from './chi-square.ts'
import { type CountLaw, countLaw } from './count-law.ts'
import { summarise } from './mean-and-deviation.ts'

/** Demand per period as learnt from history. */
export interface DemandEstimate {
  mean: number
  variance: number
  /** Variance over mean; 1 for Poisson. */
  dispersion: number
  /** Chance of such a scatter or a larger one when demand is Poisson. */
  dispersionProbability: number
  law: CountLaw
}

/**
 * Learns a demand law from counts of equal periods: negative binomial when they scatter significantly more than Poisson.
 * Source: Fisher's index of dispersion, (n - 1) variance / mean against chi-square with n - 1 degrees of freedom; size by
 * the method of moments.
 * @param options.significance 0.05 is common practice. Throws `bad-argument` for fewer than two periods
 */
export function demandFromHistory(options: { counts: ArrayLike<number>; significance: number }): DemandEstimate {
  requireValues('The history', options.counts, 2)
  requireProbability('The significance', options.significance)
  for (let i = 0; i < options.counts.length; i++) requireCount(`Period ${i + 1}`, options.counts[i]!)
  const { mean, standardDeviation, count } = summarise(options.counts)
  const variance = standardDeviation ** 2
  if (mean === 0) return { mean, variance, dispersion: 1, dispersionProbability: 1, law: { kind: 'poisson', mean } }
  const x = ((count - 1) * variance) / mean
  const dispersionProbability = chiSquareProbability({ x, degreesOfFreedom: count - 1, tail: 'upper' })
  const spread = dispersionProbability <= options.significance
  return {
    mean,
    variance,
    dispersion: variance / mean,
    dispersionProbability,
    law: countLaw({ mean, variance: spread ? variance : mean }),
  }
}

/**
 * Demand while a delivery is on its way, when the lead time itself is uncertain.
 * Source: Hadley and Whitin, "Analysis of Inventory Systems", 3-9: mean = d L; variance = L var(d) + d^2 var(L). Demand
 * of different periods is taken as independent, its sum as negative binomial (moments matched). Throws `bad-argument`.
 * @param options.leadTime in periods of the demand
 */
export function leadTimeDemand(options: {
  demandPerPeriod: CountLaw
  leadTime: { mean: number; variance: number }
}): CountLaw {
  const { demandPerPeriod, leadTime } = options
  requirePositive('The lead time', leadTime.mean)
  requireNotNegative('The variance of the lead time', leadTime.variance)
  const perPeriod = demandPerPeriod.kind === 'poisson' ? demandPerPeriod.mean : demandPerPeriod.variance
  return countLaw({
    mean: demandPerPeriod.mean * leadTime.mean,
    variance: perPeriod * leadTime.mean + demandPerPeriod.mean ** 2 * leadTime.variance,
  })
}
