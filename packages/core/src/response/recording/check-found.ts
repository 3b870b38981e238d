import type { Finding } from '../../model/finding.ts'
import { formatDbfs } from '../../model/format.ts'
import { isOtherSweep } from '../sweep/find-other-sweep.ts'
import { sweepPhase } from '../sweep/sweep-phase.ts'
import type { PhaseTrack } from './phase-track.ts'
import { levelDbfs, recordingFinding } from './recording-finding.ts'
import { peakOf, quietestRms } from './recording-spans.ts'
import type { RecordingView } from './recording-view.ts'

/** Least part of the deconvolved energy around the impulse: a sweep 10 dB under its noise has 0.27, a tone 0.07. */
const leastScore = 0.1
/**
 * Least share of the recorded energy, noise set aside, that must follow the sweep: distortion leaves four fifths and a
 * lost block half of it, while another sweep follows this one only where the two cross.
 */
const leastShare = 0.35
/**
 * From this share on nothing else needs to be asked. Distortion alone may leave less, so below it the recording is laid
 * beside the sweep at several frequencies.
 */
const certainShare = 0.985
/** Least share with the noise: noise alone reaches 0.02 by chance. */
const leastOfAll = 0.05

/**
 * `sweep-not-found`: what was recorded is not this sweep.
 * @param tracks how each sweep was followed; none when the stimulus is no exponential sweep
 */
export function checkFound(view: RecordingView, tracks: readonly PhaseTrack[]): Finding[] {
  const { alignment } = view
  const impulse = alignment !== null && alignment.score >= leastScore
  if (!impulse) return [notFound(view)]
  if (tracks.length === 0) return []
  const share = followingShare(tracks, quietestRms(view))
  if (share >= certainShare) return []
  return holdsOtherSweep(view) ? [otherSweep] : share < leastShare ? [notFound(view)] : []
}

function holdsOtherSweep({ sweep, samples, alignment }: RecordingView): boolean {
  const phase = sweepPhase(sweep)
  if (!phase || !alignment) return false
  return isOtherSweep({ sweep, phase, samples, bodyStart: sweep.bodies[0].startSample + alignment.offsetSamples })
}

const otherSweep = recordingFinding({
  code: 'sweep-not-found',
  severity: 'refuse',
  message: 'This recording is of another sweep: it rises at another pace.',
  remedy: 'Take the sweep file that was played, or record again with this one.',
})

/** The finding for a recording without the sweep in it. */
export const notFound = (view: RecordingView): Finding =>
  recordingFinding({
    code: 'sweep-not-found',
    severity: 'refuse',
    message: `The sweep is not in this recording (peak ${formatDbfs(levelDbfs(peakOf(view.samples)))}).`,
  })

/** Share of the recorded energy, noise set aside, that follows the sweep, over all sweeps. */
function followingShare(tracks: readonly PhaseTrack[], noiseRms: number): number {
  let following = 0
  let all = Number.MIN_VALUE
  let beyondNoise = Number.MIN_VALUE
  for (const { amplitude, restRms, atSample } of tracks)
    for (let k = 1; k < amplitude.length; k++) {
      const length = atSample[k] - atSample[k - 1]
      following += 0.5 * amplitude[k] ** 2 * length
      all += (0.5 * amplitude[k] ** 2 + restRms[k] ** 2) * length
      beyondNoise += (0.5 * amplitude[k] ** 2 + Math.max(0, restRms[k] ** 2 - noiseRms ** 2)) * length
    }
  return following < leastOfAll * all ? 0 : following / beyondNoise
}
