import { compensatedSum } from './exact-sum.ts'
import { fProbability } from './f-distribution.ts'
import type { GaugeCells } from './gauge-readings.ts'
import { mean } from './mean-and-deviation.ts'
import type { VarianceLine } from './one-way-anova.ts'

/** Analysis of variance of a crossed study, all effects random. */
export interface CrossedAnova {
  part: VarianceLine
  appraiser: VarianceLine
  interaction: VarianceLine
  error: VarianceLine
  totalSumOfSquares: number
  /** Interaction against error. */
  interactionF: number
  interactionProbabilityBeyond: number
}

const total = (values: readonly number[]): number => compensatedSum(values, (x) => x)
const square = (x: number): number => x * x

/**
 * Sums of squares of a balanced two-way crossed study with repeats, from deviations of means.
 * Source: AIAG, "Measurement Systems Analysis", 4th edition, appendix A; Montgomery, "Design and Analysis of
 * Experiments", 5.3.
 */
export function crossedAnova(data: GaugeCells): CrossedAnova {
  const { trials, parts, appraisers } = data
  const origin = data.cells[0]![0]![0]!
  const cells = data.cells.map((row) => row.map((cell) => cell.map((x) => x - origin)))
  const cellMeans = cells.map((row) => row.map(mean))
  const partMeans = cellMeans.map(mean)
  const appraiserMeans = appraisers.map((_, a) => mean(cellMeans.map((row) => row[a]!)))
  const grand = mean(partMeans)
  const line = (sumOfSquares: number, degreesOfFreedom: number): VarianceLine => ({
    sumOfSquares,
    degreesOfFreedom,
    meanSquare: sumOfSquares / degreesOfFreedom,
  })
  const byPart = total(partMeans.map((m) => square(m - grand))) * appraisers.length * trials
  const byAppraiser = total(appraiserMeans.map((m) => square(m - grand))) * parts.length * trials
  const crossed = cellMeans.flatMap((row, p) =>
    row.map((m, a) => square(m - partMeans[p]! - appraiserMeans[a]! + grand)),
  )
  const errors = cells.flatMap((row, p) => row.flatMap((cell, a) => cell.map((x) => square(x - cellMeans[p]![a]!))))
  const all = cells.flat(2)
  const [p, a] = [parts.length - 1, appraisers.length - 1]
  const interaction = line(total(crossed) * trials, p * a)
  const error = line(total(errors), parts.length * appraisers.length * (trials - 1))
  const interactionF = interaction.meanSquare / error.meanSquare
  const degreesOfFreedom = { numerator: interaction.degreesOfFreedom, denominator: error.degreesOfFreedom }
  return {
    part: line(byPart, p),
    appraiser: line(byAppraiser, a),
    interaction,
    error,
    totalSumOfSquares: total(all.map((x) => square(x - grand))),
    interactionF,
    // Without any error at all (0 / 0) nothing speaks for an interaction.
    interactionProbabilityBeyond: Number.isNaN(interactionF)
      ? 1
      : fProbability({ f: interactionF, degreesOfFreedom, tail: 'upper' }),
  }
}
