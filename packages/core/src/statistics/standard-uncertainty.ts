import { requireCount, requireNotNegative } from './check-argument.ts'

/** Standard uncertainty of a value known only to lie within +/- a half width. Source: JCGM 100:2008, 4.3.7. */
export function rectangularUncertainty(options: { halfWidth: number }): number {
  requireNotNegative('The half width', options.halfWidth)
  return options.halfWidth / Math.sqrt(3)
}

/** Standard uncertainty from the step of a display. Source: JCGM 100:2008, F.2.2.1: step / sqrt(12). */
export function resolutionUncertainty(options: { step: number }): number {
  requireNotNegative('The step', options.step)
  return options.step / Math.sqrt(12)
}

/** Standard uncertainty of a value more likely near the middle of +/- a half width. Source: JCGM 100:2008, 4.3.9. */
export function triangularUncertainty(options: { halfWidth: number }): number {
  requireNotNegative('The half width', options.halfWidth)
  return options.halfWidth / Math.sqrt(6)
}

/** Standard uncertainty of the mean of repeated readings. Source: JCGM 100:2008, 4.2.3. Throws `bad-argument`. */
export function meanUncertainty(options: { standardDeviation: number; count: number }): number {
  requireNotNegative('The standard deviation', options.standardDeviation)
  requireCount('The count', options.count, 1)
  return options.standardDeviation / Math.sqrt(options.count)
}
