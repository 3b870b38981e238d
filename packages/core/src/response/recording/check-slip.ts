import type { Finding } from '../../model/finding.ts'
import { sweepPhase } from '../sweep/sweep-phase.ts'
import { findEdgeSlip } from './find-edge-slip.ts'
import { type MarkerDistance, markerDistance } from './find-markers.ts'
import { findShiftedPart } from './find-shifted-part.ts'
import { findSlip, type SlipLimits } from './find-slip.ts'
import { blockPhases } from './phase-step.ts'
import type { PhaseTrack } from './phase-track.ts'
import { placeWords, recordingFinding } from './recording-finding.ts'
import { quietestRms } from './recording-spans.ts'
import type { RecordingView } from './recording-view.ts'
import { findRepeatSlip } from './repeat-slip.ts'
import { excessPhase } from './track-phase.ts'

/**
 * Markers of a sound recording are alike within this, and within this many times the root of their noise's share: about a
 * hundred independent values stand in one.
 */
const markerSpread = 0.02
const noiseSpread = 0.5

/** A match under this is no evidence: the board, or damage, has taken too much of the markers; noise may take some. */
const leastMatch = 0.9
const leastNoisyMatch = 0.7
/**
 * Clocks of player and recorder may differ by 50 parts in a million (two interfaces), which is no fault of this check;
 * a little more than that, and one sample of rounding, is no slip.
 */
const clockTolerance = 60e-6
const roundingSamples = 2

/** Blocks this far under the loudest are in the noise, or deep in a stop-band. */
const loudShare = 1e-3

const limitsAt = (rateHz: number): SlipLimits => ({
  leastSamples: 40 * Math.max(1, rateHz / 96_000),
  leastJumpRad: 0.13,
  delayFromHz: 400,
})

/**
 * `block-slipped`: the recording lost samples within a sweep, or has some twice. Five ways of finding it, each on positive
 * evidence only: the distance of the markers, a step of phase and delay within a sweep, a part of the sweep at another
 * place, a step between the repeats, and a break of the wave at the low end.
 */
export function checkSlip(view: RecordingView, tracks: readonly PhaseTrack[]): Finding[] {
  const distance = markerDistance(view)
  const found = byMarkers(view, distance) ?? byTracks(view, tracks) ?? byRepeats(view, tracks) ?? byEdges(view)
  if (!found) return distance && isDamaged(distance) ? [damagedMarker(view, distance)] : []
  const size = Math.round(Math.abs(found.lostSamples))
  const what = found.lostSamples > 0 ? `lost about ${size} samples` : `has about ${size} samples twice`
  const where = found.atSample === undefined ? 'within the sweep' : placeWords(found.atSample / view.sweep.rateHz)
  return [
    recordingFinding({
      code: 'block-slipped',
      severity: 'refuse',
      message: `The recording ${what} ${where}: the computer did not keep up.`,
      ...(found.atSample === undefined ? {} : { atS: found.atSample / view.sweep.rateHz }),
    }),
  ]
}

interface FoundSlip {
  lostSamples: number
  atSample?: number
}

function byMarkers(view: RecordingView, distance: MarkerDistance | null): FoundSlip | null {
  if (
    !distance ||
    distance.match < Math.min(leastMatch, Math.max(leastNoisyMatch, distance.expectedMatch - markerSpread))
  )
    return null
  const [first, second] = view.sweep.markers
  const allowed = roundingSamples + clockTolerance * (second.startSample - first.startSample)
  return Math.abs(distance.lostSamples) > allowed ? { lostSamples: distance.lostSamples } : null
}

/** Whether the markers differ by more than the noise explains: something is missing or too much in one of them. */
function isDamaged({ match, expectedMatch }: MarkerDistance): boolean {
  const noise = 1 - expectedMatch
  return noise < 0.1 && match < expectedMatch - markerSpread - noiseSpread * Math.sqrt(noise)
}

function damagedMarker(view: RecordingView, { atSample }: MarkerDistance): Finding {
  const atS = atSample / view.sweep.rateHz
  const message = `A marker beside the sweep is damaged: the first, ${placeWords(atS)}, and the last are not alike.`
  return recordingFinding({ code: 'block-damaged', severity: 'refuse', message, atS })
}

function byTracks(view: RecordingView, tracks: readonly PhaseTrack[]): FoundSlip | null {
  const phase = sweepPhase(view.sweep)
  const { alignment, samples, sweep } = view
  if (!phase || !alignment) return null
  const { rateHz } = sweep
  const noiseRms = quietestRms(view)
  for (const [k, track] of tracks.entries()) {
    const { frequencyHz, phaseRad, phaseUncertaintyRad: uncertaintyRad } = track
    const highest = track.amplitude.reduce((a, b) => Math.max(a, b), 0)
    const slip = findSlip({
      readings: [
        blockPhases({ frequencyHz, phaseRad, uncertaintyRad }),
        blockPhases({ frequencyHz, phaseRad: excessPhase(track), uncertaintyRad }),
      ],
      isLoud: (block) => track.amplitude[block] > loudShare * highest,
      rateHz,
      limits: limitsAt(rateHz),
    })
    if (slip) return { lostSamples: slip.lostSamples, atSample: track.atSample[slip.block] }
    const part = findShiftedPart({
      phase,
      track,
      samples,
      bodyStart: sweep.bodies[k].startSample + alignment.offsetSamples,
      rateHz,
      loudRms: Math.max(0.05 * highest, 3 * noiseRms),
      leastSamples: limitsAt(rateHz).leastSamples,
    })
    if (part) return { lostSamples: part.earlySamples, atSample: part.atSample }
  }
  return null
}

function byEdges({ sweep, samples, alignment }: RecordingView): FoundSlip | null {
  const phase = sweepPhase(sweep)
  if (!phase || !alignment) return null
  for (const body of sweep.bodies) {
    const slip = findEdgeSlip({
      phase,
      samples,
      bodyStart: body.startSample + alignment.offsetSamples,
      rateHz: sweep.rateHz,
    })
    if (slip) return slip
  }
  return null
}

function byRepeats(view: RecordingView, tracks: readonly PhaseTrack[]): FoundSlip | null {
  for (let k = 1; k < tracks.length; k++) {
    const slip = findRepeatSlip({
      first: tracks[k - 1],
      second: tracks[k],
      rateHz: view.sweep.rateHz,
      distanceSamples: view.sweep.bodies[k].startSample - view.sweep.bodies[k - 1].startSample,
    })
    if (slip) return slip
  }
  return null
}
