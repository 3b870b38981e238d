import { deviationBias } from './chart-constants.ts'
import { requireCount } from './check-argument.ts'
import { findRoot } from './find-root.ts'
import { rangeMoments } from './range-distribution.ts'

/**
 * Degrees of freedom of a chi variable with the same relative variance: 1 / c4^2 - 1.
 * Source: Patnaik, Biometrika 37 (1950) 78-87, matching the first two moments.
 */
function degreesOfRelativeVariance(relativeVariance: number): number {
  const f = (u: number): number => Math.log(deviationBias(Math.exp(u)) ** -2 - 1) - Math.log(relativeVariance)
  return Math.exp(findRoot({ f, from: Math.log(0.05), to: Math.log(1e6) }))
}

/** Equivalent degrees of freedom of the mean range of several subgroups of one size. Throws `bad-argument`. */
export function rangeDegreesOfFreedom(options: { subgroupSize: number; subgroups: number }): number {
  requireCount('The number of subgroups', options.subgroups, 1)
  const { mean, standardDeviation } = rangeMoments(options.subgroupSize)
  return degreesOfRelativeVariance((standardDeviation / mean) ** 2 / options.subgroups)
}

/**
 * Equivalent degrees of freedom of the mean moving range of so many single values; about 0.62 (n - 1).
 * Neighbouring moving ranges share a value: their covariance follows from E|UV| = 4/pi (sqrt(1 - rho^2) + rho asin rho)
 * for two differences of variance 2 with correlation -1/2. Throws `bad-argument`.
 */
export function movingRangeDegreesOfFreedom(count: number): number {
  requireCount('The number of values', count, 2)
  const ranges = count - 1
  const square = 4 / Math.PI
  const product = square * (Math.sqrt(0.75) + 0.5 * Math.asin(0.5))
  const variance = (2 - square) * ranges + 2 * (product - square) * (ranges - 1)
  return degreesOfRelativeVariance(variance / (square * ranges * ranges))
}

/**
 * Divisor that makes the square of a mean range unbiased for the variance: d2* = sqrt(d2^2 + d3^2 / subgroups).
 * Source: Duncan, "Quality Control and Industrial Statistics", appendix D3; used in the average-and-range gauge study.
 */
export function rangeDivisor(options: { subgroupSize: number; subgroups: number }): number {
  requireCount('The number of subgroups', options.subgroups, 1)
  const { mean, standardDeviation } = rangeMoments(options.subgroupSize)
  return Math.sqrt(mean ** 2 + standardDeviation ** 2 / options.subgroups)
}
