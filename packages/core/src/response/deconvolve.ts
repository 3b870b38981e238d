import { makeBins, realFft } from './fft.ts'
import { foldInto } from './fold.ts'
import type { InverseFilter } from './inverse-filter.ts'

/** The same response at a quarter of the rate of the level above it; lags run round (negative ones stand at the end). */
export interface ResponseLevel {
  rateHz: number
  samples: Float64Array
}

const lowestRateHz = 120

/** Weight of a bin in a level below the first: fades out from 0.6 to 1 of that level's Nyquist frequency. */
const levelWeight = (part: number): number => (part <= 0.6 ? 1 : 0.5 + 0.5 * Math.cos((Math.PI * (part - 0.6)) / 0.4))

const makeLevel = (bins: Float64Array, size: number, rateHz: number): ResponseLevel => {
  const samples = new Float64Array(size)
  realFft(size).inverse(bins, samples)
  return { rateHz, samples }
}

const makeLowerLevel = (bins: Float64Array, size: number, rateHz: number): ResponseLevel => {
  const half = size / 2
  const lower = bins.slice(0, size + 2)
  for (let k = Math.ceil(0.6 * half); k <= half; k++) {
    const weight = levelWeight(k / half)
    lower[2 * k] = lower[2 * k] * weight
    lower[2 * k + 1] = lower[2 * k + 1] * weight
  }
  return makeLevel(lower, size, rateHz)
}

/** How many levels `makeLevels` makes. */
export const levelCount = (response: { size: number; rateHz: number }): number => {
  let count = 1
  const isEnough = (factor: number) => response.rateHz / factor >= lowestRateHz && response.size % (factor * 16) === 0
  for (let factor = 4; isEnough(factor); factor *= 4) count++
  return count
}

/** Levels of a response given by its spectrum: full rate, then a quarter, a sixteenth ... down to about 120 Hz. */
export const makeLevels = (bins: Float64Array, size: number, rateHz: number): ResponseLevel[] => {
  const levels = [makeLevel(bins, size, rateHz)]
  for (let level = 1; level < levelCount({ size, rateHz }); level++) {
    levels.push(makeLowerLevel(bins, size / 4 ** level, rateHz / 4 ** level))
  }
  return levels
}

/**
 * Divides the spectrum of a recorded sweep by that of the sweep.
 *
 * @param samples the recording; `fromSample` is where the body of the sweep begins in it, `toSample` where the next sound
 * begins
 * @returns the response at several rates, lag 0 at index 0, harmonic k at lag -L ln k
 * Source: regularised spectral division, Y S* / (|S|^2 + e); harmonics as in Farina, AES preprint 5093 (2000).
 */
export const deconvolve = (options: {
  filter: InverseFilter
  samples: Float64Array
  fromSample: number
  toSample: number
}): ResponseLevel[] => {
  const { filter, samples, fromSample, toSample } = options
  const { size } = filter
  const bins = makeBins(size)
  realFft(size).forward(foldInto(samples, fromSample, toSample, size), bins)
  const g = filter.bins
  for (let k = 0; k < size + 2; k += 2) {
    const re = bins[k]
    const im = bins[k + 1]
    bins[k] = re * g[k] - im * g[k + 1]
    bins[k + 1] = re * g[k + 1] + im * g[k]
  }
  return makeLevels(bins, size, filter.rateHz)
}
