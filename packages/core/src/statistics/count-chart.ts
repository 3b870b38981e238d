import { requireCount, requireValues } from './check-argument.ts'
import type { ControlLimits } from './control-limits.ts'
import { mean } from './mean-and-deviation.ts'

/**
 * Limits of a c chart: faults counted on areas or numbers of boards that are always the same.
 * Source: NIST/SEMATECH e-Handbook 6.3.3.1: mean count +/- 3 of its root, not below 0. Throws `bad-argument`.
 */
export function countChart(counts: ArrayLike<number>): ControlLimits {
  requireValues('The counts', counts)
  for (let i = 0; i < counts.length; i++) requireCount(`Count ${i + 1}`, counts[i]!)
  const centre = mean(counts)
  const reach = 3 * Math.sqrt(centre)
  return { centre, lower: Math.max(0, centre - reach), upper: centre + reach }
}
