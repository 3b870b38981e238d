import type { ResponseCurve } from '../../model/response-curve.ts'
import type { CombinedResponse } from './combine-bodies.ts'
import { powerOfGrid } from './complex-grid.ts'
import { gridFrequenciesHz, gridIndexOf1kHz } from './grid.ts'

/** dB per relative change of the magnitude. */
const dbPerPart = 20 / Math.LN10
/** Standard uncertainty of the method itself (windows, band edges), dB; found in the tests. */
const methodDb = 0.0003
const degPerRad = 180 / Math.PI

/** Grid indexes that a sweep's band holds; the outermost grid points stand 0.24 % outside their nominal values. */
const bandIndexes = (band: { fromHz: number; toHz: number }): number[] =>
  [...gridFrequenciesHz.keys()].filter((i) => {
    const f = gridFrequenciesHz[i]
    return f >= band.fromHz * 0.9975 && f <= band.toHz * 1.0025
  })

/** Phase (deg) unwrapped along rising frequency, with the value at `anchor` within (-180, 180]. */
const unwrapDeg = (phaseDeg: readonly number[], anchor: number): number[] => {
  const unwrapped = [...phaseDeg]
  for (let i = 1; i < unwrapped.length; i++) {
    unwrapped[i] = unwrapped[i] - 360 * Math.round((unwrapped[i] - unwrapped[i - 1]) / 360)
  }
  const turns = Math.ceil((unwrapped[anchor] - 180) / 360)
  return unwrapped.map((value) => value - 360 * turns)
}

/** The curve of a combined response, within the band of its sweep. */
export const makeCurve = (
  combined: Pick<CombinedResponse, 'response' | 'relativeNoise'>,
  band: { fromHz: number; toHz: number },
): ResponseCurve => {
  const { response, relativeNoise } = combined
  const power = powerOfGrid(response)
  const indexes = bandIndexes(band)
  const anchor = Math.max(0, indexes.indexOf(gridIndexOf1kHz))
  const phaseDeg = indexes.map((i) => Math.atan2(response.im[i], response.re[i]) * degPerRad)
  return {
    frequencyHz: indexes.map((i) => gridFrequenciesHz[i]),
    gainDb: indexes.map((i) => 10 * Math.log10(Math.max(power[i], Number.MIN_VALUE))),
    phaseDeg: unwrapDeg(phaseDeg, anchor),
    // Half of the noise power lies along the response and changes its magnitude; the other half turns its phase.
    uncertaintyDb: indexes.map((i) => Math.hypot(dbPerPart * Math.sqrt(relativeNoise[i] / 2), methodDb)),
  }
}
