import { findRoot } from './find-root.ts'
import type { Interval } from './interval.ts'
import { type VarianceTerm, varianceCombinationInterval } from './variance-combination.ts'

/**
 * Confidence limits of a ratio of two weighted sums of mean squares: the ratios R for which numerator - R denominator
 * may be zero. Source: Fieller's argument, J. R. Stat. Soc. B 16 (1954) 175-185, with the modified large-sample limits of
 * the difference. Limits are 0 or more; the upper one may be Infinity.
 */
export function varianceRatioInterval(options: {
  numerator: readonly VarianceTerm[]
  denominator: readonly VarianceTerm[]
  confidence: number
}): Interval {
  const { numerator, denominator, confidence } = options
  const limits = (ratio: number): Interval => {
    const less = denominator.map((term) => ({ ...term, coefficient: -ratio * term.coefficient }))
    return varianceCombinationInterval({ terms: [...numerator, ...less], confidence })
  }
  const crossing = (side: 'lower' | 'upper'): number => {
    const f = (ratio: number): number => limits(ratio)[side]
    if (!(f(0) > 0)) return 0
    let to = 1
    while (f(to) > 0) {
      if (to > 1e12) return Number.POSITIVE_INFINITY
      to *= 4
    }
    return findRoot({ f, from: 0, to })
  }
  return { lower: crossing('lower'), upper: crossing('upper') }
}
