import { requireNotNegative } from './check-argument.ts'
import { type CrossedAnova, crossedAnova } from './crossed-anova.ts'
import { arrangeGaugeReadings, type GaugeReading } from './gauge-readings.ts'
import { type GaugeStudy, type GaugeTerms, gaugeStudy } from './gauge-study.ts'
import type { VarianceLine } from './one-way-anova.ts'
import type { VarianceTerm } from './variance-combination.ts'

/** A gauge study by analysis of variance, with the analysis behind it. */
export interface GaugeByAnova extends GaugeStudy {
  anova: CrossedAnova
  /** Whether the interaction was taken into the error. */
  pooled: boolean
}

const term = (source: string, coefficient: number, line: VarianceLine): VarianceTerm => ({
  source,
  coefficient,
  meanSquare: line.meanSquare,
  degreesOfFreedom: line.degreesOfFreedom,
})

/**
 * Gauge repeatability and reproducibility of a crossed study by analysis of variance.
 * Source: AIAG, "Measurement Systems Analysis", 4th edition, III-B and appendix A.
 * @param options.poolAbove the interaction is pooled into the error when its probability exceeds this; 0.25 when left
 * out; 1 never pools, 0 always does
 * @param options.tolerance width of the permitted range in the unit of the readings
 * Throws `bad-argument` for a study that is not complete.
 */
export function gaugeByAnova(options: {
  readings: readonly GaugeReading[]
  confidence: number
  poolAbove?: number
  tolerance?: number
}): GaugeByAnova {
  const { readings, poolAbove = 0.25, ...rest } = options
  requireNotNegative('The pooling level', poolAbove)
  const data = arrangeGaugeReadings(readings)
  const anova = crossedAnova(data)
  const pooled = anova.interactionProbabilityBeyond > poolAbove
  const perPart = data.appraisers.length * data.trials
  const perAppraiser = data.parts.length * data.trials
  const study = gaugeStudy({ ...rest, terms: termsOf({ anova, pooled, perPart, perAppraiser, trials: data.trials }) })
  return { ...study, anova, pooled }
}

function termsOf(options: {
  anova: CrossedAnova
  pooled: boolean
  perPart: number
  perAppraiser: number
  trials: number
}): GaugeTerms {
  const { anova, pooled, perPart, perAppraiser, trials } = options
  const error = pooled ? poolLines(anova.interaction, anova.error) : anova.error
  const below = pooled ? 'error' : 'interaction'
  const belowLine = pooled ? error : anova.interaction
  return {
    repeatability: [term('error', 1, error)],
    appraiser: [term('appraiser', 1 / perAppraiser, anova.appraiser), term(below, -1 / perAppraiser, belowLine)],
    interaction: pooled ? [] : [term('interaction', 1 / trials, anova.interaction), term('error', -1 / trials, error)],
    part: [term('part', 1 / perPart, anova.part), term(below, -1 / perPart, belowLine)],
  }
}

function poolLines(a: VarianceLine, b: VarianceLine): VarianceLine {
  const sumOfSquares = a.sumOfSquares + b.sumOfSquares
  const degreesOfFreedom = a.degreesOfFreedom + b.degreesOfFreedom
  return { sumOfSquares, degreesOfFreedom, meanSquare: sumOfSquares / degreesOfFreedom }
}
