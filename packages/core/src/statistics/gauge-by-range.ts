import { chartConstants } from './chart-constants.ts'
import { arrangeGaugeReadings, type GaugeCells, type GaugeReading } from './gauge-readings.ts'
import { type GaugeStudy, gaugeStudy } from './gauge-study.ts'
import { mean } from './mean-and-deviation.ts'
import { rangeDegreesOfFreedom, rangeDivisor } from './range-degrees.ts'

/** A gauge study by averages and ranges, with the ranges behind it. */
export interface GaugeByRange extends GaugeStudy {
  meanRange: number
  /** Difference between the highest and the lowest appraiser mean. */
  appraiserRange: number
  /** Difference between the highest and the lowest part mean. */
  partRange: number
  /** Upper control limit of a single range, D4 times the mean range. */
  rangeLimit: number
  /** Cells whose range exceeds that limit: repeat these readings before using the study. */
  rangesBeyond: { part: string; appraiser: string; range: number }[]
}

const rangeOf = (values: readonly number[]): number => Math.max(...values) - Math.min(...values)

/**
 * Gauge repeatability and reproducibility of a crossed study by averages and ranges; knows no interaction.
 * Source: AIAG, "Measurement Systems Analysis", 4th edition, III-B: K1 = 1 / d2 of the trials, K2 and K3 = 1 / d2* of one
 * range of the appraisers and of the parts; one-sigma values. Limits: each squared range counts as a mean square with its
 * equivalent degrees of freedom (Patnaik 1950).
 * Throws `bad-argument` for a study that is not complete.
 */
export function gaugeByRange(options: {
  readings: readonly GaugeReading[]
  confidence: number
  tolerance?: number
}): GaugeByRange {
  const { readings, ...rest } = options
  const data = arrangeGaugeReadings(readings)
  const { parts, appraisers, trials, cells } = data
  const ranges = cells.map((row) => row.map(rangeOf))
  const meanRange = mean(ranges.flat())
  const cellMeans = cells.map((row) => row.map(mean))
  const partRange = rangeOf(cellMeans.map(mean))
  const appraiserRange = rangeOf(appraisers.map((_, a) => mean(cellMeans.map((row) => row[a]!))))
  const { d2, D4 } = chartConstants(trials)
  const error = {
    source: 'error',
    meanSquare: (meanRange / d2) ** 2,
    degreesOfFreedom: rangeDegreesOfFreedom({ subgroupSize: trials, subgroups: parts.length * appraisers.length }),
  }
  const oneRange = (source: string, range: number, subgroupSize: number) => ({
    source,
    coefficient: 1,
    meanSquare: (range / rangeDivisor({ subgroupSize, subgroups: 1 })) ** 2,
    degreesOfFreedom: rangeDegreesOfFreedom({ subgroupSize, subgroups: 1 }),
  })
  const study = gaugeStudy({
    ...rest,
    terms: {
      repeatability: [{ ...error, coefficient: 1 }],
      appraiser: [
        oneRange('appraiser', appraiserRange, appraisers.length),
        { ...error, coefficient: -1 / (parts.length * trials) },
      ],
      interaction: [],
      part: [oneRange('part', partRange, parts.length)],
    },
  })
  const rangeLimit = D4 * meanRange
  return { ...study, meanRange, appraiserRange, partRange, rangeLimit, rangesBeyond: beyond(data, ranges, rangeLimit) }
}

function beyond(data: GaugeCells, ranges: readonly number[][], limit: number): GaugeByRange['rangesBeyond'] {
  return data.parts.flatMap((part, p) =>
    data.appraisers
      .map((appraiser, a) => ({ part, appraiser, range: ranges[p]![a]! }))
      .filter(({ range }) => range > limit),
  )
}
