import type { Finding } from '../../model/finding.ts'
import { formatRate } from '../../model/format.ts'
import { recordingFinding } from './recording-finding.ts'
import type { RecordingView } from './recording-view.ts'

/** `wrong-rate`: the recording runs at another rate than the sweep; nothing else can be said about it then. */
export function checkRate({ sweep, recording }: RecordingView): Finding[] {
  if (recording.rateHz === sweep.rateHz) return []
  return [
    recordingFinding({
      code: 'wrong-rate',
      severity: 'refuse',
      message: `The recording runs at ${formatRate(recording.rateHz)}, but the sweep was made for ${formatRate(sweep.rateHz)}.`,
    }),
  ]
}
