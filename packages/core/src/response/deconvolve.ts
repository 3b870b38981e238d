import { realFft } from './fft.ts'
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

const makeLowerLevel = (bins: Float64Array, size: number, rateHz: number): ResponseLevel => {
  const half = size / 2
  const lower = bins.slice(0, size + 2)
  for (let k = Math.ceil(0.6 * half); k <= half; k++) {
    const weight = levelWeight(k / half)
    lower[2 * k] *= weight
    lower[2 * k + 1] *= weight
  }
  const samples = workspace(size)
  realFft(size).inverse(lower, samples)
  return { rateHz, samples }
}

const workspaces = new Map<number, Float64Array>()

/** An array of one size that is used again and again: megabytes anew for every sweep would cost a tenth of the time. */
const workspace = (size: number): Float64Array => {
  const known = workspaces.get(size) ?? new Float64Array(size)
  workspaces.set(size, known)
  return known
}

/** How many levels a response has. */
export const levelCount = (response: { size: number; rateHz: number }): number => {
  let count = 1
  const isEnough = (factor: number) => response.rateHz / factor >= lowestRateHz && response.size % (factor * 16) === 0
  for (let factor = 4; isEnough(factor); factor *= 4) count++
  return count
}

/** All levels of a response, from the first one and its lowest bins (a quarter of them are enough). */
export const addLowerLevels = (first: ResponseLevel, bins: Float64Array): ResponseLevel[] => {
  const { rateHz, samples } = first
  const levels = [first]
  for (let level = 1; level < levelCount({ size: samples.length, rateHz }); level++) {
    levels.push(makeLowerLevel(bins, samples.length / 4 ** level, rateHz / 4 ** level))
  }
  return levels
}

/**
 * Divides the spectrum of a recorded sweep by that of the sweep.
 *
 * @param samples the recording; `fromSample` is where the body of the sweep begins in it, `toSample` where the next sound
 * begins
 * @returns the response at several rates, lag 0 at index 0, harmonic k at lag -L ln k; the next call uses the arrays again
 * Source: regularised spectral division, Y S* / (|S|^2 + e); harmonics as in Farina, AES preprint 5093 (2000).
 */
export const deconvolve = (options: {
  filter: InverseFilter
  samples: Float64Array
  fromSample: number
  toSample: number
}): ResponseLevel[] => {
  const { filter, samples, fromSample, toSample } = options
  const fft = realFft(filter.size)
  foldInto(fft.input, samples, fromSample, toSample)
  const first = { rateHz: filter.rateHz, samples: workspace(filter.size) }
  const low = new Float64Array(filter.size / 4 + 2)
  fft.filter(filter.bins, first.samples, low)
  return addLowerLevels(first, low)
}
