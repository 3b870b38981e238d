import type { SampleSpan } from './sweep-signal.ts'

export interface Sounds {
  /** Largest magnitude, full scale = 1. */
  peak: number
  /** Equal sounds of at least 0.1 s, in order. */
  bodies: SampleSpan[]
  /** Two equal short sounds, or none. */
  markers: SampleSpan[]
}

const blockS = 0.001
/** A gap shorter than this belongs to the sound: a low note passes through zero. */
const joinS = 0.05
const shortestBodyS = 0.1
/** What is quieter than this part of the peak counts as silence. */
const silentPart = 1e-3
/** Sounds are taken this much longer on both sides: a fade begins under the threshold. */
const skirtS = 0.02

/** Spans above the threshold, gaps joined, in samples. */
const loudSpans = (samples: Float64Array, rateHz: number, threshold: number): SampleSpan[] => {
  const block = Math.max(1, Math.round(blockS * rateHz))
  const join = Math.round(joinS * rateHz)
  const spans: SampleSpan[] = []
  for (let start = 0; start < samples.length; start += block) {
    const end = Math.min(samples.length, start + block)
    let loud = false
    for (let i = start; i < end && !loud; i++) loud = Math.abs(samples[i]) > threshold
    if (!loud) continue
    const last = spans.at(-1)
    if (last && start - last.endSample < join) last.endSample = end
    else spans.push({ startSample: start, endSample: end })
  }
  return spans
}

const lengthOf = (span: SampleSpan): number => span.endSample - span.startSample

/** True when two spans hold the same samples, to a hundredth of the peak. */
const areEqual = (samples: Float64Array, a: SampleSpan, b: SampleSpan, peak: number): boolean => {
  const count = Math.min(lengthOf(a), lengthOf(b))
  for (let i = 0; i < count; i++) {
    if (Math.abs(samples[a.startSample + i] - samples[b.startSample + i]) > 0.01 * peak) return false
  }
  return true
}

/** Brings a span to the sample grid of another equal one: blocks may cut them differently. */
const alignTo = (samples: Float64Array, model: SampleSpan, span: SampleSpan, block: number): SampleSpan => {
  let best = span.startSample
  let least = Number.POSITIVE_INFINITY
  const middle = Math.floor(lengthOf(model) / 2)
  for (let shift = -2 * block; shift <= 2 * block; shift++) {
    let error = 0
    for (let i = middle; i < middle + 512; i++) {
      error += Math.abs((samples[model.startSample + i] ?? 0) - (samples[span.startSample + shift + i] ?? 0))
    }
    if (error < least) {
      least = error
      best = span.startSample + shift
    }
  }
  return { startSample: best, endSample: best + lengthOf(model) }
}

/**
 * Takes a stimulus file apart into its sounds: the long ones (only those equal to the first long one) and, when there are
 * exactly two equal short ones around them, the markers.
 */
export const findSounds = (samples: Float64Array, rateHz: number): Sounds => {
  const peak = samples.reduce((most, value) => Math.max(most, Math.abs(value)), 0)
  if (peak === 0) return { peak, bodies: [], markers: [] }
  const block = Math.max(1, Math.round(blockS * rateHz))
  const spans = loudSpans(samples, rateHz, silentPart * peak)
  const long = spans.filter((span) => lengthOf(span) >= shortestBodyS * rateHz)
  const short = spans.filter((span) => lengthOf(span) < shortestBodyS * rateHz)
  const model = long[0]
  if (!model) return { peak, bodies: [], markers: [] }
  const skirt = Math.round(skirtS * rateHz)
  const bodies = long
    .map((span) => (span === model ? model : alignTo(samples, model, span, block)))
    .filter((span) => areEqual(samples, model, span, peak))
    .map(({ startSample, endSample }) => ({
      startSample: Math.max(0, startSample - skirt),
      endSample: Math.min(samples.length, endSample + skirt),
    }))
  const [a, b] = short
  if (short.length !== 2 || !a || !b) return { peak, bodies, markers: [] }
  const second = alignTo(samples, a, b, block)
  return { peak, bodies, markers: areEqual(samples, a, second, peak) ? [a, second] : [] }
}
