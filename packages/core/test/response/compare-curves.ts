import type { ResponseCurve } from '../../src/model/response-curve.ts'
import { fixtureFrequencyHz, type KnownFilter } from './known-filter.ts'

export interface CurveError {
  frequencyHz: number
  expectedDb: number
  gainDb: number
  /** After a common delay has been fitted and taken out: which part of a phase is "pure" delay is a convention. */
  phaseDeg: number
  uncertaintyDb: number
}

/** Differences between a measured curve and a known filter, at the fixture's frequencies. */
export const compareCurves = (curve: ResponseCurve, filter: KnownFilter): CurveError[] => {
  const index = fixtureFrequencyHz.map((f) => curve.frequencyHz.findIndex((g) => Math.abs(g / f - 1) < 1e-6))
  const raw = index.map((at, i) => {
    const difference = curve.phaseDeg[at] - (filter.phaseRad[i] * 180) / Math.PI
    return difference - 360 * Math.round(difference / 360)
  })
  for (let i = 1; i < raw.length; i++) raw[i] -= 360 * Math.round((raw[i] - raw[i - 1]) / 360)
  // Least squares of phase = 360 f delay, weighted by power, since noise rules where the filter lets nothing through.
  const weight = filter.gainDb.map((gain) => 10 ** (Math.min(0, gain) / 10))
  let ff = 0
  let fp = 0
  fixtureFrequencyHz.forEach((f, i) => {
    ff += weight[i] * f * f
    fp += weight[i] * f * raw[i]
  })
  return index.map((at, i) => ({
    frequencyHz: fixtureFrequencyHz[i],
    expectedDb: filter.gainDb[i],
    gainDb: curve.gainDb[at] - filter.gainDb[i],
    phaseDeg: raw[i] - (fp / ff) * fixtureFrequencyHz[i],
    uncertaintyDb: curve.uncertaintyDb[at],
  }))
}
