import type { ResponseCurve } from '../../model/response-curve.ts'
import { mustBeCertain } from './curve-on-grid.ts'

/** The mean of several curves on one grid, and how they spread about it. */
export interface MeanCurve {
  /** `uncertaintyDb` is the standard uncertainty of the mean. */
  curve: ResponseCurve
  /** Standard deviation of a single run, dB (divisor n - 1); 0 for a single curve. */
  repeatabilityDb: number[]
  /** Where two of the curves differ most, among the points that are no stop-band; absent for a single curve. */
  largestSpread?: { frequencyHz: number; spreadDb: number }
}

/**
 * Ratio of Student's t to the normal deviate at 68.27 % for 1, 2 ... degrees of freedom: a standard deviation of few runs
 * is itself uncertain. Source: JCGM 100:2008, table G.2, column 68.27 % (from memory; checked by integration in the tests).
 */
const studentFactors = [1.84, 1.32, 1.2, 1.14, 1.11, 1.09, 1.08, 1.07, 1.06, 1.05]
/** From there on the factor is 1 + 1/(2 x degrees of freedom) within 0.003. */
const studentFactor = (degreesOfFreedom: number): number =>
  studentFactors[degreesOfFreedom - 1] ?? 1 + 1 / (2 * degreesOfFreedom)

/**
 * Means curves point by point, gain in dB and phase in degrees apart. A complex mean was not chosen: runs differ by their
 * contact (a level, so an offset in dB) and by a rest of delay, and a delay of a fraction of a sample would take gain
 * from a complex mean at high frequencies. Phases are first turned by whole turns to lie nearest to the first curve's.
 *
 * Standard uncertainty of the mean: s/sqrt(n) widened for few runs (JCGM 100, G.3), and never less than what the curves'
 * own uncertainties leave in a mean, for two runs that agree by chance prove nothing.
 * @param curves one or more, all on the same grid
 */
export function meanCurve(curves: readonly ResponseCurve[]): MeanCurve {
  const n = curves.length
  const { frequencyHz } = curves[0]
  const gainDb = frequencyHz.map((_, i) => mean(curves.map((c) => c.gainDb[i])))
  const turned = curves.map((c) => turnedTo(curves[0], c))
  const own = frequencyHz.map((_, i) => Math.hypot(...curves.map((c) => c.uncertaintyDb[i])) / n)
  const repeatabilityDb = gainDb.map((m, i) =>
    n === 1 ? 0 : Math.hypot(...curves.map((c) => c.gainDb[i] - m)) / Math.sqrt(n - 1),
  )
  const spread = repeatabilityDb.map((s) => (n === 1 ? 0 : (studentFactor(n - 1) * s) / Math.sqrt(n)))
  return {
    curve: {
      frequencyHz: [...frequencyHz],
      gainDb,
      phaseDeg: frequencyHz.map((_, i) => mean(turned.map((phaseDeg) => phaseDeg[i]))),
      uncertaintyDb: own.map((u, i) => Math.max(u, spread[i])),
    },
    repeatabilityDb,
    ...(n === 1 ? {} : { largestSpread: largestSpread(curves, gainDb) }),
  }
}

const mean = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0) / values.length

/** Phase of a curve, turned as a whole by full turns so that it lies nearest to another one's. */
function turnedTo(first: ResponseCurve, curve: ResponseCurve): number[] {
  const turns = Math.round(mean(curve.phaseDeg.map((p, i) => (p - first.phaseDeg[i]) / 360)))
  return curve.phaseDeg.map((p) => p - 360 * turns)
}

function largestSpread(curves: readonly ResponseCurve[], meanGainDb: readonly number[]) {
  const counts = mustBeCertain(meanGainDb)
  let worst = { frequencyHz: curves[0].frequencyHz[0], spreadDb: 0 }
  curves[0].frequencyHz.forEach((frequencyHz, i) => {
    const gains = curves.map((c) => c.gainDb[i])
    const spreadDb = Math.max(...gains) - Math.min(...gains)
    if (counts[i] && spreadDb > worst.spreadDb) worst = { frequencyHz, spreadDb }
  })
  return worst
}
