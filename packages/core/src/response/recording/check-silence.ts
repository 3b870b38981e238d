import type { Finding } from '../../model/finding.ts'
import { formatDbfs } from '../../model/format.ts'
import { levelDbfs, recordingFinding } from './recording-finding.ts'
import { bodySpans, peakOf } from './recording-spans.ts'
import type { RecordingView } from './recording-view.ts'

/** Under this level, and this far under the stimulus, a board has not answered: crosstalk and hiss are down there. */
const silentDbfs = -60
const underStimulusDb = 50

/** `silent`: no board in the path, or one without power. A whisper of crosstalk from a dead board counts as silence. */
export function checkSilence(view: RecordingView): Finding[] {
  const spans = bodySpans(view)
  const peaks = spans.length > 0 ? spans.map((span) => peakOf(view.samples, span)) : [peakOf(view.samples)]
  const peakDbfs = levelDbfs(Math.max(...peaks))
  if (peakDbfs > silentDbfs || peakDbfs > view.sweep.settings.levelDbfs - underStimulusDb) return []
  const level = peakDbfs <= -200 ? 'not one sample differs from zero' : `peak ${formatDbfs(peakDbfs)}`
  return [
    recordingFinding({
      code: 'silent',
      severity: 'refuse',
      message: `The recording is silent (${level}): is the board powered, are the pins down?`,
    }),
  ]
}
