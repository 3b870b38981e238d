import { requirePositive } from './check-argument.ts'
import type { Interval } from './interval.ts'
import { combinedVariance, type VarianceTerm, varianceCombinationInterval } from './variance-combination.ts'
import { varianceRatioInterval } from './variance-ratio.ts'

/** One source of variation: standard deviation with limits, in the unit of the readings. */
export interface GaugeComponent extends Interval {
  variance: number
  standardDeviation: number
  /** Standard deviation in percent of the total one. */
  percentOfTotal: number
  /** Variance in percent of the total one. */
  percentContribution: number
  /** Six standard deviations in percent of the tolerance, when a tolerance is given. */
  percentOfTolerance?: number
}

/** Result of a gauge study. */
export interface GaugeStudy {
  /** Equipment variation: the same appraiser, the same part. */
  repeatability: GaugeComponent
  /** Appraiser variation, with the interaction of appraiser and part. */
  reproducibility: GaugeComponent
  appraiser: GaugeComponent
  interaction: GaugeComponent
  /** Repeatability and reproducibility together. */
  gauge: GaugeComponent
  part: GaugeComponent
  total: GaugeComponent
  /** How many kinds of part the gauge tells apart: 1.41 part / gauge, cut to a whole number of at least 1. */
  distinctCategories: Interval & { exact: number; count: number }
}

/** The variances as weighted sums of independent mean squares; an interaction that was pooled has no terms. */
export interface GaugeTerms {
  repeatability: readonly VarianceTerm[]
  appraiser: readonly VarianceTerm[]
  interaction: readonly VarianceTerm[]
  part: readonly VarianceTerm[]
}

const root = (x: number): number => Math.sqrt(Math.max(0, x))

/**
 * Builds the table of a gauge study from its variance components.
 * A component whose estimate is negative counts as zero. Limits: modified large-sample method (see
 * varianceCombinationInterval); distinct categories by the limits of the ratio of part to gauge variance.
 * Source: AIAG, "Measurement Systems Analysis", 4th edition, III-B; Burdick, Borror and Montgomery, "Design and Analysis
 * of Gauge R&R Studies", SIAM 2005, for the limits.
 */
export function gaugeStudy(options: { terms: GaugeTerms; confidence: number; tolerance?: number }): GaugeStudy {
  const { terms, confidence, tolerance } = options
  if (tolerance !== undefined) requirePositive('The tolerance', tolerance)
  const estimate = (list: readonly VarianceTerm[]): number => Math.max(0, combinedVariance(list))
  const repeat = estimate(terms.repeatability)
  const appraiser = estimate(terms.appraiser)
  const interaction = estimate(terms.interaction)
  const part = estimate(terms.part)
  const total = repeat + appraiser + interaction + part
  const component = (variance: number, lists: readonly (readonly VarianceTerm[])[]): GaugeComponent => {
    const limits = varianceCombinationInterval({ terms: lists.flat(), confidence })
    const standardDeviation = Math.sqrt(variance)
    return {
      variance,
      standardDeviation,
      lower: root(limits.lower),
      upper: root(limits.upper),
      percentOfTotal: total === 0 ? 0 : 100 * Math.sqrt(variance / total),
      percentContribution: total === 0 ? 0 : (100 * variance) / total,
      ...(tolerance === undefined ? {} : { percentOfTolerance: (600 * standardDeviation) / tolerance }),
    }
  }
  const gaugeLists = [terms.repeatability, terms.appraiser, terms.interaction]
  return {
    repeatability: component(repeat, [terms.repeatability]),
    appraiser: component(appraiser, [terms.appraiser]),
    interaction: component(interaction, [terms.interaction]),
    reproducibility: component(appraiser + interaction, [terms.appraiser, terms.interaction]),
    gauge: component(total - part, gaugeLists),
    part: component(part, [terms.part]),
    total: component(total, [...gaugeLists, terms.part]),
    distinctCategories: distinctCategories({
      ratio: part / (repeat + appraiser + interaction),
      interval: varianceRatioInterval({ numerator: terms.part, denominator: gaugeLists.flat(), confidence }),
    }),
  }
}

/** The factor 1.41 (not the root of two) is the one of AIAG's manual. */
function distinctCategories(options: { ratio: number; interval: Interval }): GaugeStudy['distinctCategories'] {
  const of = (ratio: number): number => 1.41 * Math.sqrt(ratio)
  const exact = of(options.ratio)
  return {
    exact,
    count: Math.max(1, Math.floor(exact)),
    lower: of(options.interval.lower),
    upper: of(options.interval.upper),
  }
}
