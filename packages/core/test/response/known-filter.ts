import { readFileSync } from 'node:fs'
import type { SweepSignal } from '../../src/response/sweep/sweep-signal.ts'
import { normalDraws } from './seeded-noise.ts'

/** A filter of fixtures/filters.json: made and evaluated by scipy.signal (fixtures/make_filters.py). */
export interface KnownFilter {
  name: string
  rateHz: number
  sos?: number[][]
  taps?: number[]
  gainDb: number[]
  phaseRad: number[]
}

const fixture = JSON.parse(readFileSync(new URL('./fixtures/filters.json', import.meta.url), 'utf8')) as {
  frequencyHz: number[]
  filters: KnownFilter[]
}
export const knownFilters = fixture.filters
/** The fixture's frequencies are every fourth one of the measuring grid. */
export const fixtureFrequencyHz = fixture.frequencyHz

const throughSection = (x: Float64Array, [b0, b1, b2, , a1, a2]: number[]): Float64Array => {
  let x1 = 0
  let x2 = 0
  let y1 = 0
  let y2 = 0
  return x.map((value) => {
    const y = b0 * value + b1 * x1 + b2 * x2 - a1 * y1 - a2 * y2
    x2 = x1
    x1 = value
    y2 = y1
    y1 = y
    return y
  })
}

const throughTaps = (x: Float64Array, taps: number[]): Float64Array =>
  x.map((_, i) => taps.reduce((sum, tap, k) => sum + tap * (x[i - k] ?? 0), 0))

/** The filter's difference equation. */
export const applyFilter = (x: Float64Array, filter: Pick<KnownFilter, 'sos' | 'taps'>): Float64Array =>
  filter.taps ? throughTaps(x, filter.taps) : (filter.sos ?? []).reduce(throughSection, x)

/** Adds white noise `snrDb` under the rms of the recorded sweep (its body, run-in and run-out included). */
export const addNoise = (options: {
  recording: Float64Array
  sweep: SweepSignal
  offsetSamples: number
  snrDb: number
  seed: number
}): Float64Array => {
  const { recording, sweep, offsetSamples, snrDb, seed } = options
  const { startSample, endSample } = sweep.bodies[0]
  let sum = 0
  for (let i = startSample; i < endSample; i++) sum += (recording[i + offsetSamples] ?? 0) ** 2
  const rms = Math.sqrt(sum / (endSample - startSample)) * 10 ** (-snrDb / 20)
  const draw = normalDraws(seed)
  return recording.map((value) => value + rms * draw())
}

/** The samples, `offsetSamples` later, with `tail` zeros behind. */
export const shifted = (samples: Float64Array, offsetSamples: number, tail = 3000): Float64Array => {
  const later = new Float64Array(samples.length + offsetSamples + tail)
  later.set(samples, offsetSamples)
  return later
}
