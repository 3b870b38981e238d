import type { Finding } from '../../model/finding.ts'
import { recordingFinding } from './recording-finding.ts'
import type { RecordingView } from './recording-view.ts'

/** A difference under this is no news: it was taken out like any other. */
const notedShare = 1e-6

/** `clock-drift`: player and recorder keep different time. A note, since the sweep was read at the player's speed. */
export function checkClock({ measured }: RecordingView): Finding[] {
  const size = Math.abs(measured.clockError)
  if (size < notedShare) return []
  const way = measured.clockError > 0 ? 'slower' : 'faster'
  const message = `The recorder\u2019s clock runs ${(size * 1e6).toFixed(0)} millionths ${way} than the player\u2019s; the recording was read at the player\u2019s speed.`
  return [recordingFinding({ code: 'clock-drift', severity: 'note', message })]
}
