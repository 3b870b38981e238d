import { silentSpans } from '../curve/noise.ts'
import type { SampleSpan } from '../sweep/sweep-signal.ts'
import type { RecordingView } from './recording-view.ts'

/** Where the sweeps stand in the recording, cut to what was recorded; none when the sweep was not found. */
export function bodySpans(view: Pick<RecordingView, 'sweep' | 'alignment' | 'samples'>): SampleSpan[] {
  const { alignment, samples } = view
  if (!alignment) return []
  return view.sweep.bodies
    .map((body) => ({
      startSample: Math.max(0, body.startSample + alignment.offsetSamples),
      endSample: Math.min(samples.length, body.endSample + alignment.offsetSamples),
    }))
    .filter((span) => span.endSample > span.startSample)
}

/** Largest magnitude in a span, full scale = 1. */
export function peakOf(samples: Float64Array, span?: SampleSpan): number {
  let peak = 0
  const end = span?.endSample ?? samples.length
  for (let i = span?.startSample ?? 0; i < end; i++) {
    const v = samples[i] < 0 ? -samples[i] : samples[i]
    if (v > peak) peak = v
  }
  return peak
}

/** Root mean square in a span, full scale = 1. */
function rmsOf(samples: Float64Array, span: SampleSpan): number {
  const from = Math.max(0, span.startSample)
  const to = Math.min(samples.length, span.endSample)
  let sum = 0
  for (let i = from; i < to; i++) sum += samples[i] * samples[i]
  return to > from ? Math.sqrt(sum / (to - from)) : 0
}

/** Where the sweeps and the markers stand in the recording, in order, cut to what was recorded. */
export function soundSpans(view: Pick<RecordingView, 'sweep' | 'alignment' | 'samples'>): SampleSpan[] {
  const { alignment, samples, sweep } = view
  if (!alignment) return []
  return [...sweep.bodies, ...sweep.markers]
    .map(({ startSample, endSample }) => ({
      startSample: Math.max(0, startSample + alignment.offsetSamples),
      endSample: Math.min(samples.length, endSample + alignment.offsetSamples),
    }))
    .filter((span) => span.endSample > span.startSample)
    .sort((a, b) => a.startSample - b.startSample)
}

/**
 * Lowest frequency that a sound may have at a sample of the recording, Hz: that of the sweep; of a marker, one cycle in its
 * length; half the lowest of the sweep where it cannot be told, which is the careful choice for everything that asks how
 * fast a signal may move.
 */
export function slowestHz(view: Pick<RecordingView, 'sweep' | 'alignment'>, sample: number): number {
  const { sweep, alignment } = view
  const { fromHz } = sweep.settings
  if (!alignment) return fromHz / 2
  const inStimulus = sample - alignment.offsetSamples
  const holds = (span: SampleSpan) => inStimulus >= span.startSample && inStimulus < span.endSample
  const marker = sweep.markers.find(holds)
  if (marker) return sweep.rateHz / (marker.endSample - marker.startSample)
  const body = sweep.bodies.find(holds)
  if (sweep.rateS === null || !body) return fromHz / 2
  return fromHz * Math.exp(((inStimulus - body.startSample) / sweep.rateHz - sweep.runInS) / sweep.rateS)
}

/** Root mean square of the quietest silence between the sounds, full scale = 1; 0 where no silence was recorded. */
export function quietestRms({
  sweep,
  samples,
  alignment,
}: Pick<RecordingView, 'sweep' | 'samples' | 'alignment'>): number {
  const silent = alignment ? silentSpans(sweep, alignment.offsetSamples, samples.length) : []
  return silent.length > 0 ? Math.min(...silent.map((span) => rmsOf(samples, span))) : 0
}
