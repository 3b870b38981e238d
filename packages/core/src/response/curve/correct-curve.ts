import type { ResponseCurve } from '../../model/response-curve.ts'

/** Gain and phase of a rig (or anything in the path) that is to be taken out of a curve. */
export type CurveCorrection = Pick<ResponseCurve, 'frequencyHz' | 'gainDb' | 'phaseDeg'> &
  Partial<Pick<ResponseCurve, 'uncertaintyDb'>>

/** Value at a frequency, straight between points over the logarithm of frequency, level beyond the ends. */
export const valueAt = (frequencyHz: readonly number[], values: readonly number[], at: number): number => {
  const last = frequencyHz.length - 1
  if (at <= frequencyHz[0]) return values[0]
  if (at >= frequencyHz[last]) return values[last]
  let low = 0
  let high = last
  while (high - low > 1) {
    const middle = (low + high) >> 1
    if (frequencyHz[middle] <= at) low = middle
    else high = middle
  }
  const part = Math.log(at / frequencyHz[low]) / Math.log(frequencyHz[high] / frequencyHz[low])
  return values[low] + part * (values[high] - values[low])
}

/** Takes a correction out of a curve: gains and phases are subtracted, uncertainties added in quadrature. */
export const correctCurve = (curve: ResponseCurve, correction: CurveCorrection): ResponseCurve => {
  const of = (values: readonly number[], f: number) => valueAt(correction.frequencyHz, values, f)
  const { uncertaintyDb } = correction
  return {
    frequencyHz: curve.frequencyHz,
    gainDb: curve.gainDb.map((gain, i) => gain - of(correction.gainDb, curve.frequencyHz[i])),
    phaseDeg: curve.phaseDeg.map((phase, i) => phase - of(correction.phaseDeg, curve.frequencyHz[i])),
    uncertaintyDb: uncertaintyDb
      ? curve.uncertaintyDb.map((u, i) => Math.hypot(u, of(uncertaintyDb, curve.frequencyHz[i])))
      : curve.uncertaintyDb,
  }
}
