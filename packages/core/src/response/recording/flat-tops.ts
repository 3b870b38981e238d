import type { PhaseTrack } from './phase-track.ts'
import type { RecordingView } from './recording-view.ts'

/** Where the wave is cut flat below full scale. */
export interface FlatTops {
  side: 'positive' | 'negative' | 'both'
  /** Level of the cut, full scale = 1. */
  level: number
  atSample: number
}

/** A sample within this share of the local extreme belongs to its top. */
const topShare = 0.97
/**
 * Share of the time that a wave spends in its top: 0.078 for a sine, 0.16 when 1 dB is cut off, up to 0.11 for a sine
 * bent by some ten per cent of low harmonics. Source: arc cosine of the share over pi.
 */
const flatShare = 0.16
/** Parts that must be flat, and that are looked at. */
const leastParts = 3
/** The wave is looked at where a cycle has twelve samples or more: fewer do not show its top. */
const samplesPerCycle = 12
const partS = 0.06

/** Finds parts of the sweep whose tops or bottoms are cut flat; null when there are fewer than three of them. */
export function findFlatTops(view: RecordingView, tracks: readonly PhaseTrack[]): FlatTops | null {
  const { samples, sweep } = view
  const flat: { level: number; atSample: number; positive: boolean; negative: boolean }[] = []
  for (const track of tracks) {
    const highest = track.amplitude.reduce((a, b) => Math.max(a, b), 0)
    let next = 0
    for (let k = 0; k < track.frequencyHz.length; k++) {
      const f = track.frequencyHz[k]
      if (f > sweep.rateHz / samplesPerCycle) break
      const atSample = track.atSample[k]
      if (atSample < next || track.amplitude[k] < 0.1 * highest || f < sweep.settings.fromHz) continue
      // Whole cycles, so that the share does not depend on where the part begins.
      const length = Math.round((Math.max(1, Math.round(partS * f)) / f) * sweep.rateHz)
      const part = samples.subarray(Math.round(atSample - length / 2), Math.round(atSample + length / 2))
      next = atSample + length
      const shape = topsOf(part)
      if (shape.positive || shape.negative) flat.push({ ...shape, atSample })
    }
  }
  if (flat.length < leastParts) return null
  const positive = flat.some((p) => p.positive)
  const negative = flat.some((p) => p.negative)
  return {
    side: positive && negative ? 'both' : positive ? 'positive' : 'negative',
    level: Math.max(...flat.map((p) => p.level)),
    atSample: flat[0].atSample,
  }
}

function topsOf(part: Float64Array) {
  let high = 0
  let low = 0
  let sum = 0
  for (const v of part) {
    if (v > high) high = v
    if (v < low) low = v
    sum += v
  }
  const mean = sum / Math.max(1, part.length)
  let inTop = 0
  let inBottom = 0
  for (const v of part) {
    if (v - mean > topShare * (high - mean)) inTop++
    else if (v - mean < topShare * (low - mean)) inBottom++
  }
  return {
    level: Math.max(high, -low),
    positive: inTop > flatShare * part.length,
    negative: inBottom > flatShare * part.length,
  }
}
