import type { ResponseCurve } from '../../model/response-curve.ts'

/** Gain and uncertainty of a curve at other frequencies; NaN where the curve does not reach. */
export interface CurveOnGrid {
  gainDb: number[]
  uncertaintyDb: number[]
}

/**
 * Reads a curve on another rising grid: linear in dB over the logarithm of frequency, so that two curves measured at
 * different rates can be compared. A point that both grids share is taken as it stands. The larger uncertainty of the
 * two neighbours is kept: interpolation never makes a value more certain.
 * @param options.frequencyHz rising frequencies, Hz
 */
export function curveOnGrid(options: {
  curve: Pick<ResponseCurve, 'frequencyHz' | 'gainDb' | 'uncertaintyDb'>
  frequencyHz: readonly number[]
}): CurveOnGrid {
  const { frequencyHz: from, gainDb, uncertaintyDb } = options.curve
  const result: CurveOnGrid = { gainDb: [], uncertaintyDb: [] }
  const last = from.length - 1
  let k = 0
  for (const f of options.frequencyHz) {
    while (k < last && from[k + 1] <= f * (1 + 1e-9)) k++
    const here = from[k] ?? Number.NaN
    if (Math.abs(here / f - 1) <= 1e-9) {
      result.gainDb.push(gainDb[k])
      result.uncertaintyDb.push(uncertaintyDb[k])
    } else if (here < f && k < last) {
      const share = Math.log(f / here) / Math.log(from[k + 1] / here)
      result.gainDb.push(gainDb[k] + (gainDb[k + 1] - gainDb[k]) * share)
      result.uncertaintyDb.push(Math.max(uncertaintyDb[k], uncertaintyDb[k + 1]))
    } else {
      result.gainDb.push(Number.NaN)
      result.uncertaintyDb.push(Number.NaN)
    }
  }
  return result
}

/** How far below a curve's greatest gain its points still must be certain, dB: deeper ones are stop-band. */
const certainWithinDb = 40

/**
 * Which points of a curve must reach the wanted uncertainty: those within 40 dB of its greatest gain. A deep stop-band
 * or notch is mostly noise on every recording, and no reason to refuse one.
 */
export function mustBeCertain(gainDb: readonly number[]): boolean[] {
  const greatest = gainDb.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY)
  return gainDb.map((gain) => gain >= greatest - certainWithinDb)
}
