import type { GaugeFigure, GaugeFigures, GaugeQuantity } from '../../model/gauge-study.ts'
import { gaugeByAnova } from '../../statistics/gauge-by-anova.ts'
import { gaugeByRange } from '../../statistics/gauge-by-range.ts'
import type { GaugeReading } from '../../statistics/gauge-readings.ts'
import type { GaugeComponent, GaugeStudy as Table } from '../../statistics/gauge-study.ts'

/** Probability with which the limits of a figure hold the truth. */
export const gaugeConfidence = 0.95

const finite = (value: number): number | null => (Number.isFinite(value) ? value : null)

const figureOf = (component: GaugeComponent): GaugeFigure => ({
  deviationDb: component.standardDeviation,
  lowerDb: component.lower,
  upperDb: finite(component.upper),
  percentOfTotal: component.percentOfTotal,
  percentOfTolerance: component.percentOfTolerance ?? 0,
})

const figuresOf = ({ repeatability, reproducibility, gauge, part, distinctCategories }: Table): GaugeFigures => ({
  repeatability: figureOf(repeatability),
  reproducibility: figureOf(reproducibility),
  gauge: figureOf(gauge),
  part: figureOf(part),
  classes: {
    count: finite(distinctCategories.count),
    exact: finite(distinctCategories.exact),
    lower: finite(distinctCategories.lower) ?? 0,
    upper: finite(distinctCategories.upper),
  },
})

/** One quantity of a study by analysis of variance and by averages and ranges; a set-up stands where a person would. */
export function quantityFigures(
  what: Pick<GaugeQuantity, 'quantity' | 'setting' | 'frequencyHz' | 'toleranceDb'> & {
    readings: readonly GaugeReading[]
  },
): GaugeQuantity {
  const { readings, ...head } = what
  const options = { readings, confidence: gaugeConfidence, tolerance: head.toleranceDb }
  const anova = gaugeByAnova(options)
  return {
    ...head,
    anova: {
      ...figuresOf(anova),
      interactionProbability: finite(anova.anova.interactionProbabilityBeyond) ?? 1,
      pooled: anova.pooled,
    },
    range: figuresOf(gaugeByRange(options)),
  }
}
