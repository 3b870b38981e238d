import type { SweepSignal } from '../sweep/sweep-signal.ts'
import { quietTimes } from './quiet-times.ts'
import type { SlowRecording } from './slow-recording.ts'

/** What is heard of one multiple of the mains while the stimulus leaves its frequency alone, block by block. */
export interface HumLine {
  order: number
  /** Nominal frequency: `order` times 50 or 60 Hz. */
  frequencyHz: number
  /** Middle of each block, s from the start of the recording. */
  atS: Float64Array
  /** Amplitude and phase of each block against a cosine of the nominal frequency that begins with the recording. */
  re: Float64Array
  im: Float64Array
}

/** How blocks are cut: under a cubic B-spline of four times `stepS`, one block every `stepS`. */
export interface BlockShape {
  stepS: number
  /** The sweep must be this far above a line, Hz: it then comes through 80 dB weaker or less. */
  clearHz: number
}

const stepsPerBlock = 4
const shortestStepS = 0.06
const longestStepS = 0.24
/** Lobes of the spline's spectrum that the sweep must be away. */
const clearLobes = 3.6

/** Blocks for one sweep: the slower it rises, the longer they are, to come clear of it as soon. */
export const blockShape = (rateS: number | null): BlockShape => {
  const stepS = Math.min(longestStepS, Math.max(shortestStepS, 0.08 * Math.sqrt(rateS ?? 1)))
  return { stepS, clearHz: clearLobes / stepS }
}

/** Noise power of the mean of n blocks is this over n, times that of one block. Source: integral of the spline squared. */
export const blockNoiseShare = 1 / 0.479

/** The cubic B-spline over 0 to 4, integral 1. Source: textbook closed form. */
const spline = (x: number): number => {
  const t = Math.abs(x - 2)
  return t >= 2 ? 0 : t >= 1 ? (2 - t) ** 3 / 6 : 2 / 3 - t * t + t ** 3 / 2
}

let splineTable = new Float64Array(0)

/** The spline at the middle of each sample of a block, integral 1; kept for the next line. */
const splineOf = (step: number): Float64Array => {
  if (splineTable.length !== stepsPerBlock * step)
    splineTable = Float64Array.from({ length: stepsPerBlock * step }, (_, i) => spline((i + 0.5) / step) / step)
  return splineTable
}

/** The spline times exp(-j omega t) for one block, so that a block is two sums of products. */
const blockTable = (omega: number, step: number, scale: number) => {
  const weights = splineOf(step)
  const { length } = weights
  const re = new Float64Array(length)
  const im = new Float64Array(length)
  const turnRe = Math.cos(omega)
  const turnIm = -Math.sin(omega)
  let c = 1
  let s = 0
  for (let i = 0; i < length; i++) {
    const weight = scale * weights[i]
    re[i] = weight * c
    im[i] = weight * s
    const next = c * turnRe - s * turnIm
    s = c * turnIm + s * turnRe
    c = next
  }
  return { re, im, length }
}

const blockSum = (samples: Float64Array, start: number, table: ReturnType<typeof blockTable>) => {
  const { re: tableRe, im: tableIm, length } = table
  let re = 0
  let im = 0
  for (let i = 0; i < length; i++) {
    const v = samples[start + i]
    re += v * tableRe[i]
    im += v * tableIm[i]
  }
  return { re, im }
}

/** Reads one line of the mains from a recording. */
export const readHumLine = (options: {
  slow: SlowRecording
  sweep: SweepSignal
  offsetSamples: number
  shape: BlockShape
  order: number
  mainsHz: number
}): HumLine => {
  const { slow, sweep, offsetSamples, shape, order, mainsHz } = options
  const frequencyHz = order * mainsHz
  const step = Math.max(1, Math.round(shape.stepS * slow.rateHz))
  const omega = (2 * Math.PI * frequencyHz) / slow.rateHz
  const table = blockTable(omega, step, 2 / slow.gainAt(frequencyHz))
  const durationS = slow.startS + slow.samples.length / slow.rateHz
  const spans = quietTimes({ sweep, offsetSamples, durationS, frequencyHz, clearHz: shape.clearHz })
  const starts = spans.flatMap(({ startS, endS }) => {
    const from = Math.max(0, Math.ceil((startS - slow.startS) * slow.rateHz))
    const to = Math.min(slow.samples.length, Math.floor((endS - slow.startS) * slow.rateHz))
    const count = Math.max(0, Math.floor((to - from - table.length) / step) + 1)
    return Array.from({ length: count }, (_, i) => from + i * step)
  })
  const line: HumLine = {
    order,
    frequencyHz,
    atS: new Float64Array(starts.length),
    re: new Float64Array(starts.length),
    im: new Float64Array(starts.length),
  }
  starts.forEach((start, k) => {
    const { re, im } = blockSum(slow.samples, start, table)
    const angle = omega * (start + slow.startS * slow.rateHz)
    const c = Math.cos(angle)
    const s = Math.sin(angle)
    // exp(-j angle): the phase is told from the start of the recording.
    line.re[k] = re * c + im * s
    line.im[k] = im * c - re * s
    line.atS[k] = slow.startS + (start + table.length / 2) / slow.rateHz
  })
  return line
}
