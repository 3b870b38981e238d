import { bodySpans } from './recording-spans.ts'
import type { RecordingView } from './recording-view.ts'

/**
 * The step of a recording's samples, full scale = 1: the smallest difference between neighbours in the sweeps that are not
 * equal, and never less than half a step of 24 bits. A 16-bit recording kept in a 24-bit or float file still shows its
 * 16-bit steps.
 */
export function recordingStep(view: Pick<RecordingView, 'sweep' | 'samples' | 'alignment'>): number {
  const { samples } = view
  let least = 1
  for (const span of bodySpans(view))
    for (let i = span.startSample + 1; i < span.endSample; i++) {
      const d = samples[i] - samples[i - 1]
      const size = d < 0 ? -d : d
      if (size > 0 && size < least) least = size
    }
  return Math.max(least, 2 ** -24)
}
