import type { Finding } from '../../model/finding.ts'
import { formatDuration } from '../../model/format.ts'
import { findBurst } from './find-burst.ts'
import type { PhaseTrack } from './phase-track.ts'
import { placeWords, recordingFinding } from './recording-finding.ts'
import type { RecordingView } from './recording-view.ts'

/**
 * `block-damaged` by what the board answered: a stretch that does not follow the sweep, though its samples look like any
 * others. Asked last, because lost samples, cut tops and copies leave the sweep as well and are told more exactly.
 */
export function checkBurst({ sweep }: RecordingView, tracks: readonly PhaseTrack[], step: number): Finding[] {
  const { rateHz } = sweep
  for (const track of tracks) {
    const burst = findBurst({ track, rateHz, step })
    if (!burst) continue
    const atS = burst.startSample / rateHz
    const lasts = formatDuration((burst.endSample - burst.startSample) / rateHz)
    const message = `The recording is damaged ${placeWords(atS)}: up to ${lasts} do not follow the sweep.`
    return [recordingFinding({ code: 'block-damaged', severity: 'refuse', message, atS })]
  }
  return []
}
