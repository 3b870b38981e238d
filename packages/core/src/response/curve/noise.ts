import type { Noise } from '../../model/response-curve.ts'
import type { SampleSpan, SweepSignal } from '../sweep/sweep-signal.ts'
import { fftSizeFrom, makeBins, realFft } from '../transform/fft.ts'
import { aWeighting } from './a-weighting.ts'

/** The board's answer has died away this long after the last sound, s. */
const tailS = 0.2
const guardS = 0.01
const shortestS = 0.02
/** What is read for digital silence, dB. */
const lowestDbfs = -200

/** Parts of a recording where the stimulus is silent and has been so long enough. */
export const silentSpans = (sweep: SweepSignal, offsetSamples: number, length: number): SampleSpan[] => {
  const { rateHz } = sweep
  const sounds = [...sweep.bodies, ...sweep.markers].sort((a, b) => a.startSample - b.startSample)
  const spans: SampleSpan[] = []
  let from = 0
  for (const sound of [...sounds, null]) {
    const until = sound ? sound.startSample + offsetSamples - Math.round(guardS * rateHz) : length
    const span = { startSample: Math.max(0, from), endSample: Math.min(length, until) }
    if (span.endSample - span.startSample >= shortestS * rateHz) spans.push(span)
    if (sound) from = sound.endSample + offsetSamples + Math.round(tailS * rateHz)
  }
  return spans
}

/** Power of one silent span without its mean, plain and A-weighted, times its length. */
const energyOf = (samples: Float64Array, span: SampleSpan, rateHz: number) => {
  const count = span.endSample - span.startSample
  const part = samples.slice(span.startSample, span.endSample)
  let mean = 0
  for (const value of part) mean += value / count
  let plain = 0
  let windowEnergy = 0
  for (let i = 0; i < count; i++) {
    const value = part[i] - mean
    const weight = Math.sin((Math.PI * (i + 0.5)) / count) ** 2
    plain += value * value
    windowEnergy += weight * weight
    part[i] = value * weight
  }
  const size = fftSizeFrom(count)
  const bins = makeBins(size)
  realFft(size).forward(part, bins)
  let weighted = 0
  for (let k = 1; k <= size / 2; k++) {
    const power = bins[2 * k] ** 2 + bins[2 * k + 1] ** 2
    weighted += power * aWeighting((k * rateHz) / size) ** 2 * (k === size / 2 ? 1 : 2)
  }
  return { count, plain, weighted: ((weighted / size) * count) / windowEnergy }
}

const toDbfs = (power: number): number => Math.max(lowestDbfs, 10 * Math.log10(2 * power))

/** Noise of a whole recording in which nothing was played; levels as those of `measureNoise`. */
export const spanNoise = (options: { samples: Float64Array; rateHz: number }) => {
  const { samples, rateHz } = options
  const { count, plain, weighted } = energyOf(samples, { startSample: 0, endSample: samples.length }, rateHz)
  return { unweightedDbfs: toDbfs(plain / count), aWeightedDbfs: toDbfs(weighted / count) }
}

const meanPower = (samples: Float64Array, from: number, to: number): number => {
  const first = Math.max(0, from)
  const end = Math.min(samples.length, to)
  let sum = 0
  for (let i = first; i < end; i++) sum += samples[i] ** 2
  return end > first ? sum / (end - first) : 0
}

/**
 * Noise of a recording in the silences before, between and behind the sounds of the stimulus, without DC.
 *
 * @param options.offsetSamples sample of the recording at which sample 0 of the stimulus arrives
 * @returns levels in dB relative to full scale, a full-scale sine reading 0 dB; signal-to-noise is the mean power of the
 * recorded sweep over the unweighted noise. null when no silence was recorded
 * Source: AES17 (full-scale sine = 0 dBFS), IEC 61672-1 (A-weighting).
 */
export const measureNoise = (options: {
  sweep: SweepSignal
  samples: Float64Array
  offsetSamples: number
}): Noise | null => {
  const { sweep, samples, offsetSamples } = options
  const spans = silentSpans(sweep, offsetSamples, samples.length)
  if (spans.length === 0) return null
  let count = 0
  let plain = 0
  let weighted = 0
  for (const span of spans) {
    const energy = energyOf(samples, span, sweep.rateHz)
    count += energy.count
    plain += energy.plain
    weighted += energy.weighted
  }
  const body = sweep.bodies[0]
  const signal = meanPower(samples, body.startSample + offsetSamples, body.endSample + offsetSamples)
  const unweightedDbfs = toDbfs(plain / count)
  return {
    unweightedDbfs,
    aWeightedDbfs: toDbfs(weighted / count),
    signalToNoiseDb: toDbfs(signal) - unweightedDbfs,
  }
}
