import type { Finding } from '../../model/finding.ts'
import { formatDbfs } from '../../model/format.ts'
import { findFlatTops } from './flat-tops.ts'
import type { PhaseTrack } from './phase-track.ts'
import { levelDbfs, placeWords, recordingFinding } from './recording-finding.ts'
import { bodySpans } from './recording-spans.ts'
import type { RecordingView } from './recording-view.ts'

/** Samples this near to full scale are at it: one and a half steps of 16 bits. */
const fullScale = 1 - 1.5 / 32768
/** Samples at full scale that count as clipping: one can be a peak that just fits. */
const leastSamples = 3

/** `clipped`: samples at full scale, or tops cut flat below it by something before the recorder. */
export function checkClipping(view: RecordingView, tracks: readonly PhaseTrack[]): Finding[] {
  const atFullScale = countFullScale(view)
  const { rateHz } = view.sweep
  if (atFullScale.count >= leastSamples) {
    const place = placeWords(atFullScale.first / rateHz)
    return [
      recordingFinding({
        code: 'clipped',
        severity: 'refuse',
        message: `The recording is clipped: ${atFullScale.count} samples at full scale, the first ${place}.`,
        atS: atFullScale.first / rateHz,
      }),
    ]
  }
  const flat = findFlatTops(view, tracks)
  if (!flat) return []
  const side = flat.side === 'both' ? 'tops and bottoms' : flat.side === 'positive' ? 'tops' : 'bottoms'
  return [
    recordingFinding({
      code: 'clipped',
      severity: 'refuse',
      message: `The ${side} of the wave are cut flat at ${formatDbfs(levelDbfs(flat.level))}, first ${placeWords(flat.atSample / rateHz)}: something before the recorder clips.`,
      remedy:
        'Turn down the sweep. If the reference board does not clip at this level, check the supply and the bias of this one.',
      atS: flat.atSample / rateHz,
    }),
  ]
}

function countFullScale(view: RecordingView): { count: number; first: number } {
  const { samples } = view
  let count = 0
  let first = -1
  let peak = 0
  for (const span of bodySpans(view))
    for (let i = span.startSample; i < span.endSample; i++) {
      const size = Math.abs(samples[i])
      if (size < fullScale) continue
      count++
      if (first < 0) first = i
      if (size > peak) peak = size
    }
  // Peaks above full scale can only stand in a file of floating-point samples, and there they are kept, not clipped.
  return peak > 1 ? { count: 0, first } : { count, first }
}
