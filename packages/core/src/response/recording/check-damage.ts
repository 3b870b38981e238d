import type { Finding } from '../../model/finding.ts'
import type { SampleSpan } from '../sweep/sweep-signal.ts'
import { findFrozenRun } from './find-frozen.ts'
import { findRepeatedBlock } from './find-repeated.ts'
import type { PhaseTrack } from './phase-track.ts'
import { placeWords, recordingFinding } from './recording-finding.ts'
import { bodySpans, quietestRms } from './recording-spans.ts'
import type { RecordingView } from './recording-view.ts'
import { sampleStep } from './sample-step.ts'

/** Blocks this far under the loudest are fades and stop-bands: whatever rests or repeats there harms no curve. */
const loudShare = 1e-3

/** `block-damaged`: a block of equal samples, or a block that stands there twice, within a sweep. */
export function checkDamage(view: RecordingView, tracks: readonly PhaseTrack[]): Finding[] {
  const { samples, sweep, alignment } = view
  if (!alignment) return []
  const noiseRms = quietestRms(view)
  const sweepRateSamples = (sweep.rateS ?? sweep.settings.durationS) * sweep.rateHz
  for (const span of loudSpans(view, tracks)) {
    const step = sampleStep(samples, span)
    const frozen = findFrozenRun({ view, span, step })
    if (frozen) {
      const what = frozen.value === 0 ? 'are zero' : 'have one and the same value'
      return [damage(view, frozen.startSample, `${frozen.length} samples ${what}`)]
    }
    const repeated = findRepeatedBlock({ samples, span, step, noiseRms, sweepRateSamples })
    if (repeated) return [damage(view, repeated.startSample, `${repeated.length} samples are a copy of earlier ones`)]
  }
  return []
}

function damage(view: RecordingView, atSample: number, what: string): Finding {
  const atS = atSample / view.sweep.rateHz
  return recordingFinding({
    code: 'block-damaged',
    severity: 'refuse',
    message: `The recording is damaged ${placeWords(atS)}: ${what}.`,
    atS,
  })
}

/** The sweeps, from their first to their last loud block; whole where there is no track. */
function loudSpans(view: RecordingView, tracks: readonly PhaseTrack[]): SampleSpan[] {
  if (tracks.length === 0) return bodySpans(view)
  return tracks.flatMap(({ amplitude, atSample }) => {
    const highest = amplitude.reduce((a, b) => Math.max(a, b), 0)
    const loud = (a: number) => a > loudShare * highest
    const first = amplitude.findIndex(loud)
    const last = amplitude.findLastIndex(loud)
    return first < 0 ? [] : [{ startSample: Math.floor(atSample[first]), endSample: Math.ceil(atSample[last]) }]
  })
}
