import { silentSpans } from '../curve/noise.ts'
import { correlate } from '../sweep/correlate.ts'
import type { RecordingView } from './recording-view.ts'

type MarkedView = Pick<RecordingView, 'sweep' | 'samples' | 'alignment'>

/** What the two markers say: how well they match, and by how much their distance is off. */
export interface MarkerDistance {
  /** Correlation coefficient of the two recorded markers, 0 to 1. */
  match: number
  /** What it would be if nothing but the noise of the silences made them differ, 0 to 1. */
  expectedMatch: number
  /** Samples missing between them; negative when some were added. Good to a fraction of a sample when they match. */
  lostSamples: number
  /** Sample of the recording at which the first marker begins. */
  atSample: number
}

/** How far a marker is looked for around its place, s; when they do not match there, in the whole recording. */
const reachS = 0.17
const enoughMatch = 0.9
/** In the whole recording the sound itself must be like a marker: the coefficient with the one that was played. */
const leastLikeness = 0.5
const surelyThere = 0.7
const surelyNot = 0.4
/** What is compared: the marker with a little of what the board adds behind it, s. */
const tailS = 0.006
const beforeS = 0.002
/** A marker must have this many times the energy of the silences. */
const clearOfNoise = 4

/**
 * Measures the distance between the two recorded markers by correlating them with each other: both went through the same
 * board, so whatever it does to them, it does to both. Source: shared AUDIO.md, "Finding a glitch", 1.
 * @returns null when the stimulus has no markers, or a marker lies outside the recording or in its noise
 */
export function markerDistance(view: MarkedView): MarkerDistance | null {
  const { sweep, samples, alignment } = view
  if (!alignment || sweep.markers.length !== 2) return null
  const [first, second] = sweep.markers
  const reach = Math.round(reachS * sweep.rateHz)
  const stimulus = sweep.samples.subarray(first.startSample, first.endSample)
  // The first marker is found by its shape, since a slip may have moved the sweep that the alignment was found by.
  const expected = first.startSample + alignment.offsetSamples
  const placed = bestMatch({ part: stimulus, samples, from: expected - reach, lags: 2 * reach })
  const nominal = second.startSample - first.startSample
  const near = placed && compare(view, { firstAt: placed.at, secondAt: placed.at + nominal, reach })
  if (near && near.match >= enoughMatch) return near
  return farDistance(view, stimulus) ?? near
}

/** The two sounds of the whole recording that are most like a marker, when they match; or the want of the second one. */
function farDistance(view: MarkedView, stimulus: Float64Array): MarkerDistance | null {
  const { samples } = view
  const likest = bestMatch({ part: stimulus, samples, from: 0, lags: samples.length })
  if (!likest || likest.match < leastLikeness) return null
  const apart = 5 * stimulus.length
  const middle = Math.round(likest.at)
  const found = [
    { from: 0, lags: middle - apart },
    { from: middle + apart, lags: samples.length - middle - apart },
  ]
    .filter(({ lags }) => lags > 0)
    .map((where) => bestMatch({ part: stimulus, samples, ...where }))
    .filter((one) => one !== null)
    .sort((a, b) => b.match - a.match)[0]
  if (!found || found.match < leastLikeness) return missing(view, likest, found?.match ?? 0)
  const [firstAt, secondAt] = [likest.at, found.at].sort((a, b) => a - b)
  const distance = compare(view, { firstAt, secondAt, reach: stimulus.length >> 1 })
  return distance && distance.match >= enoughMatch ? distance : null
}

/** One marker is there beyond doubt, and nothing like it where the other should be. */
function missing(view: MarkedView, there: { at: number; match: number; energy: number }, otherMatch: number) {
  const { sweep, samples, alignment } = view
  const places = sweep.markers.map((marker) => marker.startSample + (alignment?.offsetSamples ?? 0))
  const [near, far] = places.sort((a, b) => Math.abs(a - there.at) - Math.abs(b - there.at))
  const length = sweep.markers[0].endSample - sweep.markers[0].startSample
  if (there.match < surelyThere || otherMatch > surelyNot) return null
  if (far < 0 || far + length > samples.length || Math.abs(near - there.at) > reachS * sweep.rateHz) return null
  return { match: 0, expectedMatch: 1 - (silencePower(view) * length) / there.energy, lostSamples: 0, atSample: far }
}

/** Compares the sound at one place with those around another. */
function compare(view: MarkedView, at: { firstAt: number; secondAt: number; reach: number }): MarkerDistance | null {
  const { sweep, samples } = view
  const [first, second] = sweep.markers
  const from = Math.round(at.firstAt) - Math.round(beforeS * sweep.rateHz)
  const to = Math.round(at.firstAt) + first.endSample - first.startSample + Math.round(tailS * sweep.rateHz)
  if (from < 0 || to > samples.length) return null
  const part = samples.subarray(from, to)
  const offset = Math.round(at.secondAt) - Math.round(at.firstAt)
  const found = bestMatch({ part, samples, from: from + offset - at.reach, lags: 2 * at.reach })
  if (!found) return null
  const noise = silencePower(view) * part.length
  const least = Math.min(found.energy, energyOf(part))
  if (least < clearOfNoise * noise) return null
  return {
    match: found.match,
    expectedMatch: 1 - noise / least,
    lostSamples: from + (second.startSample - first.startSample) - found.at,
    atSample: at.firstAt,
  }
}

/** Mean square of the loudest silence, without its mean. */
function silencePower({ sweep, samples, alignment }: MarkedView): number {
  const spans = alignment ? silentSpans(sweep, alignment.offsetSamples, samples.length) : []
  const powers = spans.map((span) => {
    const part = samples.subarray(span.startSample, span.endSample)
    return energyOf(part) / part.length
  })
  return Math.max(0, ...powers)
}

/** Sum of squares without the mean. */
function energyOf(part: Float64Array): number {
  const mean = part.reduce((a, b) => a + b, 0) / part.length
  return part.reduce((sum, v) => sum + (v - mean) ** 2, 0)
}

/**
 * Where a part fits best in a stretch of samples, by the correlation coefficient (its sign does not count), between the
 * samples by a parabola; with the energy of what stands there.
 */
function bestMatch(options: { part: Float64Array; samples: Float64Array; from: number; lags: number }) {
  const { part, samples, from, lags } = options
  const where = new Float64Array(lags + part.length)
  for (let i = 0; i < where.length; i++) where[i] = samples[from + i] ?? 0
  const mean = part.reduce((a, b) => a + b, 0) / part.length
  const shape = part.map((v) => v - mean)
  const correlation = correlate(shape, where)
  const energy = energyOf(part)
  let sum = 0
  let square = 0
  for (let i = 0; i < part.length; i++) {
    sum += where[i]
    square += where[i] * where[i]
  }
  let best = { lag: -1, match: 0, energy: 0 }
  for (let lag = 0; lag < lags; lag++) {
    const here = square - (sum * sum) / part.length
    const match = here > 1e-12 * energy ? Math.abs(correlation[lag]) / Math.sqrt(energy * here) : 0
    if (match > best.match) best = { lag, match, energy: here }
    const gone = where[lag]
    const come = where[lag + part.length]
    sum += come - gone
    square += come * come - gone * gone
  }
  if (best.lag < 0) return null
  const [before, here, behind] = [-1, 0, 1].map((k) => Math.abs(correlation[best.lag + k] ?? 0))
  const bend = before - 2 * here + behind
  const shift = best.lag > 0 && bend < 0 ? Math.min(0.5, Math.max(-0.5, (0.5 * (before - behind)) / bend)) : 0
  const peak = here > 0 ? (here - 0.25 * (before - behind) * shift) / here : 1
  return { at: from + best.lag + shift, match: Math.min(1, best.match * peak), energy: best.energy }
}
