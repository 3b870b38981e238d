import { requireCount } from './check-argument.ts'
import { logGamma } from './log-gamma.ts'
import { rangeMoments } from './range-distribution.ts'

/** Factors of control charts for subgroups of one size; the symbols are those of ISO 7870-2 and ASTM E2587. */
export interface ChartConstants {
  d2: number
  d3: number
  c4: number
  A2: number
  A3: number
  B3: number
  B4: number
  D3: number
  D4: number
  E2: number
}

/**
 * Ratio of the expected sample standard deviation to the true one.
 * Source: NIST/SEMATECH e-Handbook 6.3.2: c4 = sqrt(2 / (n - 1)) Gamma(n / 2) / Gamma((n - 1) / 2).
 * @param degreesOfFreedom n - 1; need not be whole, above 0
 */
export function deviationBias(degreesOfFreedom: number): number {
  const ratio = logGamma((degreesOfFreedom + 1) / 2) - logGamma(degreesOfFreedom / 2)
  return Math.exp(ratio) * Math.sqrt(2 / degreesOfFreedom)
}

/**
 * Factors of control charts, computed (not from a table), at three standard deviations.
 * Source: definitions in NIST/SEMATECH e-Handbook 6.3.2 and ASTM E2587.
 * @param subgroupSize 2 or more; throws `bad-argument`
 */
export function chartConstants(subgroupSize: number): ChartConstants {
  requireCount('The subgroup size', subgroupSize, 2)
  const { mean: d2, standardDeviation: d3 } = rangeMoments(subgroupSize)
  const c4 = deviationBias(subgroupSize - 1)
  const root = Math.sqrt(subgroupSize)
  const spread = (3 * Math.sqrt(1 - c4 * c4)) / c4
  return {
    d2,
    d3,
    c4,
    A2: 3 / (d2 * root),
    A3: 3 / (c4 * root),
    B3: Math.max(0, 1 - spread),
    B4: 1 + spread,
    D3: Math.max(0, 1 - (3 * d3) / d2),
    D4: 1 + (3 * d3) / d2,
    E2: 3 / d2,
  }
}
