import type { SampleSpan } from '../sweep/sweep-signal.ts'

/**
 * The step of the samples in a span: the smallest difference between neighbours that are not equal, and never less than
 * half a step of 24 bits. A 16-bit recording kept in a 24-bit or float file still shows its 16-bit steps.
 */
export function sampleStep(samples: Float64Array, span: SampleSpan): number {
  let least = 1
  for (let i = span.startSample + 1; i < span.endSample; i++) {
    const d = samples[i] - samples[i - 1]
    const size = d < 0 ? -d : d
    if (size > 0 && size < least) least = size
  }
  return Math.max(least, 2 ** -24)
}
