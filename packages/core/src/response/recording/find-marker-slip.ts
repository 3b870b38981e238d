import { correlate } from '../sweep/correlate.ts'
import type { RecordingView } from './recording-view.ts'

/** What the two markers say: how well they match, and by how much their distance is off. */
export interface MarkerDistance {
  /** Correlation coefficient of the two recorded markers, 0 to 1. */
  match: number
  /** Samples missing between them; negative when some were added. */
  lostSamples: number
}

/** How far a marker is looked for around its place, s. */
const reachS = 0.17
/** What is compared: the marker with a little of what the board adds behind it, s. */
const tailS = 0.006
const beforeS = 0.002

/**
 * Measures the distance between the two recorded markers by correlating them with each other: both went through the same
 * board, so whatever it does to them, it does to both. Source: shared AUDIO.md, "Finding a glitch", 1.
 * @returns null when the stimulus has no markers, or a marker lies outside the recording
 */
export function markerDistance(view: Pick<RecordingView, 'sweep' | 'samples' | 'alignment'>): MarkerDistance | null {
  const { sweep, samples, alignment } = view
  if (!alignment || sweep.markers.length !== 2) return null
  const [first, second] = sweep.markers
  const reach = Math.round(reachS * sweep.rateHz)
  const length = first.endSample - first.startSample
  const stimulus = sweep.samples.subarray(first.startSample, first.endSample)
  // The first marker is found by its shape, since a slip may have moved the sweep that the alignment was found by.
  const expected = first.startSample + alignment.offsetSamples
  const placed = bestMatch({ part: stimulus, samples, from: expected - reach, lags: 2 * reach })
  if (!placed) return null
  const from = placed.at - Math.round(beforeS * sweep.rateHz)
  const to = placed.at + length + Math.round(tailS * sweep.rateHz)
  if (from < 0 || to > samples.length) return null
  const nominal = second.startSample - first.startSample
  const found = bestMatch({ part: samples.subarray(from, to), samples, from: from + nominal - reach, lags: 2 * reach })
  return found && { match: found.match, lostSamples: from + nominal - found.at }
}

/** Where a part fits best in a stretch of samples, by the correlation coefficient (its sign does not count). */
function bestMatch(options: { part: Float64Array; samples: Float64Array; from: number; lags: number }) {
  const { part, samples, from, lags } = options
  const where = new Float64Array(lags + part.length)
  for (let i = 0; i < where.length; i++) where[i] = samples[from + i] ?? 0
  const shape = withoutMean(part)
  const correlation = correlate(shape, where)
  const energy = shape.reduce((sum, v) => sum + v * v, 0)
  let sum = 0
  let square = 0
  for (let i = 0; i < part.length; i++) {
    sum += where[i]
    square += where[i] * where[i]
  }
  let best = { at: 0, match: 0 }
  for (let lag = 0; lag < lags; lag++) {
    const here = square - (sum * sum) / part.length
    const match = here > 1e-12 * energy ? Math.abs(correlation[lag]) / Math.sqrt(energy * here) : 0
    if (match > best.match) best = { at: from + lag, match }
    const gone = where[lag]
    const come = where[lag + part.length]
    sum += come - gone
    square += come * come - gone * gone
  }
  return best.match > 0 ? best : null
}

function withoutMean(part: Float64Array): Float64Array {
  const mean = part.reduce((a, b) => a + b, 0) / part.length
  return part.map((v) => v - mean)
}
