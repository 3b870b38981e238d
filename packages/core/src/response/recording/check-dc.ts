import type { Finding } from '../../model/finding.ts'
import { formatPercent } from '../../model/format.ts'
import { silentSpans } from '../curve/noise.ts'
import { recordingFinding } from './recording-finding.ts'
import { bodySpans, peakOf } from './recording-spans.ts'
import type { RecordingView } from './recording-view.ts'

/** Offsets worth a word, and too large to go on with, full scale = 1. */
const notedOffset = 0.005
const refusedOffset = 0.1
/** With a peak beyond this, an offset of a fiftieth already takes the headroom that the wave needs. */
const highPeak = 0.95
const costlyOffset = 0.02

/** `dc-offset`: the recording does not rest at zero. A note, unless the offset eats the headroom. */
export function checkDcOffset(view: RecordingView): Finding[] {
  const { samples, alignment, sweep } = view
  const silent = alignment ? silentSpans(sweep, alignment.offsetSamples, samples.length) : []
  const spans = silent.length > 0 ? silent : [{ startSample: 0, endSample: samples.length }]
  let sum = 0
  let count = 0
  for (const span of spans)
    for (let i = span.startSample; i < span.endSample; i++) {
      sum += samples[i]
      count++
    }
  const offset = count > 0 ? sum / count : 0
  const size = Math.abs(offset)
  if (size < notedOffset) return []
  const peak = Math.max(0, ...bodySpans(view).map((span) => peakOf(samples, span)))
  const refused = size > refusedOffset || (peak > highPeak && size > costlyOffset)
  const sign = offset < 0 ? '\u2212' : '+'
  return [
    recordingFinding({
      code: 'dc-offset',
      severity: refused ? 'refuse' : 'note',
      message: `The recording rests at ${sign}${formatPercent(100 * size)} of full scale instead of zero${refused ? ' and has lost its headroom' : ''}.`,
    }),
  ]
}
