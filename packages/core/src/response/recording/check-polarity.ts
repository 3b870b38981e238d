import type { Finding } from '../../model/finding.ts'
import { recordingFinding } from './recording-finding.ts'
import type { RecordingView } from './recording-view.ts'

/** `polarity-turned`: the response is upside down against the stimulus. A board may be meant to invert, so it is a note. */
export function checkPolarity({ measured }: RecordingView): Finding[] {
  if (measured.curve === null || measured.polarity === 1) return []
  return [
    recordingFinding({
      code: 'polarity-turned',
      severity: 'note',
      message: 'The response is upside down against the sweep.',
    }),
  ]
}
