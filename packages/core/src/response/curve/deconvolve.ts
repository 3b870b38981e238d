import { realFft } from '../transform/fft.ts'
import { foldInto } from '../transform/fold.ts'
import type { InverseFilter } from './inverse-filter.ts'

/** The same response at a quarter of the rate of the level above it; lags run round (negative ones stand at the end). */
export interface ResponseLevel {
  rateHz: number
  samples: Float64Array
}

const lowestRateHz = 120

const fadeFrom = 0.6
const fades = new Map<number, Float64Array>()

/** Weights of the bins of a level below the first that lie from 0.6 to 1 of its Nyquist frequency: a raised cosine. */
const fadeOf = (half: number): Float64Array => {
  const first = Math.ceil(fadeFrom * half)
  const known =
    fades.get(half) ??
    Float64Array.from({ length: half - first + 1 }, (_, i) => {
      return 0.5 + 0.5 * Math.cos((Math.PI * ((first + i) / half - fadeFrom)) / (1 - fadeFrom))
    })
  fades.set(half, known)
  return known
}

/**
 * One level from the bins, which are faded out in place: the next level down uses a quarter of them, all below the fade.
 */
const makeLowerLevel = (bins: Float64Array, size: number, rateHz: number): ResponseLevel => {
  const half = size / 2
  const fade = fadeOf(half)
  for (let i = 0, k = half - fade.length + 1; k <= half; i++, k++) {
    bins[2 * k] *= fade[i]
    bins[2 * k + 1] *= fade[i]
  }
  const samples = workspace(size)
  realFft(size).inverse(bins, samples)
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

/** All levels of a response, from the first one and its lowest bins (a quarter of them are enough; they are used up). */
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
  const low = workspace(filter.size / 4 + 2)
  const first = { rateHz: filter.rateHz, samples: fft.filter(filter.bins, low) }
  return addLowerLevels(first, low)
}
