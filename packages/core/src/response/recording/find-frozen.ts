import type { SampleSpan } from '../sweep/sweep-signal.ts'
import { frequencyAtSample } from './recording-spans.ts'
import type { RecordingView } from './recording-view.ts'

/** A run of equal samples that no wave can make. */
export interface FrozenRun {
  startSample: number
  length: number
  value: number
}

/** Shortest run that counts. Source: shared AUDIO.md: clean takes have runs of 4 at most, but at low frequencies. */
const shortestRun = 16
/** A wave may rest at its turning point; a run this many times as long is no rest. */
const margin = 3
/** A rest is entered and left by a step or two, damage by a jump. */
const gentleSteps = 4
/** Around a run the wave must be this many steps high: a signal of a few steps rests on each of them. */
const leastSteps = 8
/** The surroundings that tell how high the wave is there, s. */
const aroundS = 0.004
/** Nearer to the local extreme than this, a short run is a cut top: the clipping check's business. */
const topShare = 0.97

/**
 * Finds a run of equal samples within a sweep: zeros, or the last value held, instead of the wave. How long a sound wave
 * may rest on one step of its resolution follows from its height, its frequency and the step.
 * @param options.step the step of the samples
 */
export function findFrozenRun(options: { view: RecordingView; span: SampleSpan; step: number }): FrozenRun | null {
  const { view, span } = options
  const { samples } = view
  let start = span.startSample
  for (let i = span.startSample + 1; i <= span.endSample; i++) {
    if (i < span.endSample && samples[i] === samples[start]) continue
    const run = { startSample: start, length: i - start, value: samples[start] }
    if (run.length >= shortestRun && !isNatural({ ...options, run })) return run
    start = i
  }
  return null
}

function isNatural(options: { view: RecordingView; span: SampleSpan; step: number; run: FrozenRun }): boolean {
  const { view, span, step, run } = options
  const { samples, sweep } = view
  const end = run.startSample + run.length
  const frequencyHz = frequencyAtSample(view, run.startSample)
  // A whole cycle on each side, or a few milliseconds when that is longer.
  const reach = Math.round(Math.max(aroundS, 1 / frequencyHz) * sweep.rateHz)
  const before = heightOf(samples, Math.max(span.startSample, run.startSample - reach), run.startSample)
  const behind = heightOf(samples, end, Math.min(span.endSample, end + reach))
  const high = Math.max(before.high, behind.high)
  const low = Math.min(before.low, behind.low)
  const height = 0.5 * Math.min(before.high - before.low, behind.high - behind.low)
  // Silence on one side is the beginning or the end of the sound, or a stop-band.
  if (height < leastSteps * step) return true
  const edge = Math.max(
    Math.abs(run.value - (samples[run.startSample - 1] ?? run.value)),
    Math.abs(run.value - (samples[end] ?? run.value)),
  )
  const turn = (2 * Math.PI * frequencyHz) / sweep.rateHz
  // cos x = 1 - x^2 / 2: within one step of the turning point for 2 sqrt(2 step / height) of phase.
  const rest = (2 * Math.sqrt((2 * step) / height)) / turn
  if (edge <= gentleSteps * step && run.length < margin * rest) return true
  const level = Math.abs(run.value - 0.5 * (high + low)) / (0.5 * (high - low))
  return level > topShare && run.length < 0.5 / (frequencyHz / sweep.rateHz) + 4
}

function heightOf(samples: Float64Array, from: number, to: number): { high: number; low: number } {
  let high = Number.NEGATIVE_INFINITY
  let low = Number.POSITIVE_INFINITY
  for (let i = from; i < to; i++) {
    if (samples[i] > high) high = samples[i]
    if (samples[i] < low) low = samples[i]
  }
  return high >= low ? { high, low } : { high: 0, low: 0 }
}
