import type { Finding } from '../model/finding.ts'
import { formatDbfs } from '../model/format.ts'
import type { PhaseTrack } from './phase-track.ts'
import { levelDbfs, recordingFinding } from './recording-finding.ts'
import { peakOf } from './recording-spans.ts'
import type { RecordingView } from './recording-view.ts'

/** Least part of the deconvolved energy around the impulse, where nothing better can be asked. */
const leastScore = 0.1
/**
 * Least share of the recorded power that must follow the sweep. Noise alone reaches 0.05 by chance (two unknowns fitted
 * to some forty samples); 0.1 is a signal 10 dB under its noise.
 */
const leastShare = 0.1

/**
 * `sweep-not-found`: what was recorded is not this sweep.
 * @param tracks how each sweep was followed; none when the stimulus is no exponential sweep
 */
export function checkFound(view: RecordingView, tracks: readonly PhaseTrack[]): Finding[] {
  const { alignment } = view
  const found =
    alignment !== null && (tracks.length > 0 ? bestShare(tracks) >= leastShare : alignment.score >= leastScore)
  return found ? [] : [notFound(view)]
}

/** The finding for a recording without the sweep in it. */
export const notFound = (view: RecordingView): Finding =>
  recordingFinding({
    code: 'sweep-not-found',
    severity: 'refuse',
    message: `The sweep is not in this recording (peak ${formatDbfs(levelDbfs(peakOf(view.samples)))}).`,
  })

/**
 * The best share of power that follows the sweep over any eighth of a track: a filter may leave only a part of the sweep
 * above the noise, and a lost block may leave only a part of it where it is expected.
 */
function bestShare(tracks: readonly PhaseTrack[]): number {
  let best = 0
  for (const { amplitude, restRms } of tracks) {
    const length = Math.ceil(amplitude.length / 8)
    for (let from = 0; from < amplitude.length; from += length) {
      let following = 0
      let rest = 0
      for (let k = from; k < Math.min(amplitude.length, from + length); k++) {
        following += 0.5 * amplitude[k] ** 2
        rest += restRms[k] ** 2
      }
      best = Math.max(best, following / Math.max(following + rest, Number.MIN_VALUE))
    }
  }
  return best
}
