import type { Finding } from '../../model/finding.ts'
import { formatDbfs } from '../../model/format.ts'
import { sweepPhase } from '../sweep/sweep-phase.ts'
import { type PhaseTrack, phaseTrack } from './phase-track.ts'
import { levelDbfs, recordingFinding } from './recording-finding.ts'
import { peakOf } from './recording-spans.ts'
import type { RecordingView } from './recording-view.ts'

/** A loop-back weaker than this carries no stimulus. */
const missingDbfs = -60
/** The middle of the sweep, as shares of its octaves: converters roll off at its ends. */
const fromShare = 0.1
const toShare = 0.85
/** Spread of the level along the sweep: at most this for a bare cable, at least twice that for a board, dB. */
const cableSpreadDb = 0.5

/** `loop-back-missing`: the loop-back channel is silent, be it with the hiss of its input. */
export function checkLoopBack({ loopBack, loopBackChannel, sweep }: RecordingView): Finding[] {
  if (!loopBack || loopBackChannel === null) return []
  const peakDbfs = levelDbfs(peakOf(loopBack))
  if (peakDbfs >= Math.min(missingDbfs, sweep.settings.levelDbfs - 20)) return []
  return [
    recordingFinding({
      code: 'loop-back-missing',
      severity: 'refuse',
      message: `Channel ${loopBackChannel + 1} should carry the loop-back, but it is silent (peak ${formatDbfs(peakDbfs)}).`,
    }),
  ]
}

/**
 * `channel-swapped`: the channel taken for the board's answer is as flat as a cable, and the one taken for the loop-back
 * is not.
 */
export function checkChannels(view: RecordingView): Finding[] {
  const { loopBack, loopBackChannel, sweep, samples, alignment } = view
  if (!loopBack || loopBackChannel === null) return []
  const phase = sweepPhase(sweep)
  if (!phase || !alignment) return []
  const bodyStart = alignment.offsetSamples + sweep.bodies[0].startSample
  const spreadOf = (channel: Float64Array) => levelSpreadDb(phaseTrack({ phase, samples: channel, bodyStart }))
  if (spreadOf(samples) > cableSpreadDb || spreadOf(loopBack) < 2 * cableSpreadDb) return []
  return [
    recordingFinding({
      code: 'channel-swapped',
      severity: 'refuse',
      message: `The channels are swapped: channel ${view.channel + 1} carries the sweep itself, channel ${loopBackChannel + 1} the answer of the board.`,
    }),
  ]
}

/** Difference between the greatest and the least level along the middle of the sweep, dB, in tenths of an octave or so. */
function levelSpreadDb(track: PhaseTrack): number {
  const { frequencyHz, amplitude } = track
  const last = frequencyHz.length - 1
  if (last < 8) return 0
  const at = (share: number) => frequencyHz[0] * (frequencyHz[last] / frequencyHz[0]) ** share
  let least = Number.POSITIVE_INFINITY
  let most = 0
  for (let k = 4; k < last - 4; k++) {
    if (frequencyHz[k] < at(fromShare) || frequencyHz[k] > at(toShare)) continue
    let mean = 0
    for (let j = k - 4; j <= k + 4; j++) mean += amplitude[j] / 9
    least = Math.min(least, mean)
    most = Math.max(most, mean)
  }
  return 20 * Math.log10(most / Math.max(least, 1e-12))
}
