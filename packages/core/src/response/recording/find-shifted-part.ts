import { correlate } from '../sweep/correlate.ts'
import type { SweepPhase } from '../sweep/sweep-blocks.ts'
import type { PhaseTrack } from './phase-track.ts'

/** A part of the recording in which the sweep runs at another place than in the rest. */
export interface ShiftedPart {
  /** Sample of the recording in the middle of the part. */
  atSample: number
  frequencyHz: number
  /** By how many samples it comes too early there: samples lost before it (or after it, negative). */
  earlySamples: number
}

/** Length of a part, as a share of L. */
const partShare = 0.25
const longestPartS = 0.17
/** Furthest shift looked for, s: near for every part, far for a few, since a long gap leaves a long part lost. */
const nearShiftS = 0.17
const farShiftS = 1
const farParts = 4
/** A harmonic runs L ln k ahead of the sweep, within this time (s): that is no shift, unless hardly anything else is there. */
const harmonicOrders = [2, 3, 4, 5]
const harmonicWithinS = 0.005
const nothingElseShare = 0.9
/** Share of the energy that must follow the sweep at the shifted place, and at most at the expected one. */
const matchedShare = 0.6
const lostShare = 0.45

/**
 * Looks where the recording is loud but does not follow the sweep, whether it follows the sweep some milliseconds earlier
 * or later: a lost block so long that no phase can be read across it. Positive evidence only: noise, distortion and
 * ringing follow the sweep at no place.
 * @param options.loudRms what counts as loud, full scale = 1
 */
export function findShiftedPart(options: {
  phase: SweepPhase
  track: PhaseTrack
  samples: Float64Array
  bodyStart: number
  rateHz: number
  loudRms: number
  leastSamples: number
}): ShiftedPart | null {
  const { phase, samples, bodyStart, rateHz } = options
  const length = Math.round(Math.min(partShare * phase.rateS, longestPartS) * rateHz)
  const isHarmonic = (shift: number) =>
    harmonicOrders.some((k) => Math.abs(shift / rateHz - phase.rateS * Math.log(k)) < harmonicWithinS)
  for (const [k, { from, frequencyHz }] of lostParts({ ...options, length }).entries()) {
    const part = samples.subarray(from, from + length)
    if (part.length < length) continue
    for (const reachS of k < farParts ? [nearShiftS, farShiftS] : [nearShiftS]) {
      const found = bestShift({ phase, part, bodyFrom: from - bodyStart, reach: Math.round(reachS * rateHz) })
      if (found.share < matchedShare) continue
      const isSlip = found.centreShare < lostShare && Math.abs(found.shift) >= options.leastSamples
      if (isSlip && (found.share > nothingElseShare || !isHarmonic(found.shift)))
        return { atSample: from + length / 2, frequencyHz, earlySamples: found.shift }
      break
    }
  }
  return null
}

/** Parts of the given length in which at least three quarters of the blocks are loud and do not follow the sweep. */
function lostParts(options: { track: PhaseTrack; length: number; loudRms: number }) {
  const { track, length, loudRms } = options
  const parts: { from: number; frequencyHz: number }[] = []
  const lost = (k: number) => {
    const following = 0.5 * track.amplitude[k] ** 2
    const rest = track.restRms[k] ** 2
    return rest + following > loudRms ** 2 && following < lostShare * (following + rest)
  }
  let k = 0
  while (k < track.frequencyHz.length) {
    let end = k
    let hits = 0
    while (end < track.frequencyHz.length && track.atSample[end] < track.atSample[k] + length) if (lost(end++)) hits++
    const middle = (k + end) >> 1
    if (end - k >= 3 && hits >= 0.75 * (end - k))
      parts.push({ from: Math.round(track.atSample[k]), frequencyHz: track.frequencyHz[middle] })
    k = Math.max(k + 1, middle)
  }
  return parts
}

/** Correlates a part with the sweep's sine and cosine around its place; the share of its energy that follows the sweep. */
export function bestShift(options: { phase: SweepPhase; part: Float64Array; bodyFrom: number; reach: number }) {
  const { phase, part, bodyFrom, reach } = options
  const sine = correlate(part, spanOf(phase.sine, bodyFrom - reach, part.length + 2 * reach))
  const cosine = correlate(part, spanOf(phase.cosine, bodyFrom - reach, part.length + 2 * reach))
  const energy = part.reduce((sum, v) => sum + v * v, 0) * part.length * 0.5
  const shareAt = (lag: number) => (sine[lag] ** 2 + cosine[lag] ** 2) / energy
  let best = 0
  for (let lag = 0; lag <= 2 * reach; lag++) if (shareAt(lag) > shareAt(best)) best = lag
  return { shift: best - reach, share: shareAt(best), centreShare: shareAt(reach) }
}

function spanOf(values: Float64Array, from: number, length: number): Float64Array {
  const span = new Float64Array(length)
  for (let i = 0; i < length; i++) span[i] = values[from + i] ?? 0
  return span
}
