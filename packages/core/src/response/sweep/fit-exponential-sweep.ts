import type { SampleSpan } from './sweep-signal.ts'

export interface ExponentialFit {
  /** L of sin(2 pi f1 L exp(t/L)), s. */
  rateS: number
  /** Frequencies between which the sweep runs at full level, Hz. */
  fromHz: number
  toHz: number
  runInS: number
  runOutS: number
}

/** Upward passages through zero further apart than this many samples are timed well by a straight line. */
const samplesPerCycle = 12
const fewestCycles = 12
/** A sweep follows its exponential to this many cycles (root mean square), or it is none. */
const toleranceCycles = 0.03
const fullLevelPart = 0.97

/** Times (s, from the start of the span) of upward passages through zero while they are slow enough. */
const passages = (samples: Float64Array, span: SampleSpan, rateHz: number, peak: number): number[] => {
  const times: number[] = []
  let armed = false
  for (let i = span.startSample + 1; i < span.endSample; i++) {
    const before = samples[i - 1]
    const after = samples[i]
    // Armed by a real swing below zero, so that noise in the silence before the sweep does not count.
    if (before < -0.02 * peak) armed = true
    if (!armed || before >= 0 || after < 0) continue
    armed = false
    const at = i - span.startSample - after / (after - before)
    const last = times.at(-1)
    if (last !== undefined && at / rateHz - last < samplesPerCycle / rateHz && times.length > fewestCycles) break
    times.push(at / rateHz)
  }
  return times
}

/** Best straight line through y over x. */
const fitLine = (x: readonly number[], y: readonly number[]) => {
  const count = x.length
  const meanX = x.reduce((sum, value) => sum + value, 0) / count
  const meanY = y.reduce((sum, value) => sum + value, 0) / count
  let xx = 0
  let xy = 0
  for (let i = 0; i < count; i++) {
    xx += (x[i] - meanX) ** 2
    xy += (x[i] - meanX) * (y[i] - meanY)
  }
  const slope = xy / xx
  let squares = 0
  for (let i = 0; i < count; i++) squares += (y[i] - meanY - slope * (x[i] - meanX)) ** 2
  return { slope, rms: Math.sqrt(squares / count) }
}

/** Cycle numbers against exp((t - end) / L): a straight line when L is right. `slope` / L is the frequency at the end. */
const fitCycles = (times: readonly number[], rateS: number) => {
  const end = times.at(-1)!
  return fitLine(
    times.map((t) => Math.exp((t - end) / rateS)),
    times.map((_, n) => n),
  )
}

/** L by golden section around a first estimate. */
const refineRate = (times: readonly number[], estimateS: number): number => {
  const golden = (Math.sqrt(5) - 1) / 2
  let low = 0.9 * estimateS
  let high = 1.1 * estimateS
  for (let step = 0; step < 50; step++) {
    const a = high - golden * (high - low)
    const b = low + golden * (high - low)
    if (fitCycles(times, a).rms < fitCycles(times, b).rms) high = b
    else low = a
  }
  return (low + high) / 2
}

/** First estimate of L: the logarithm of the period falls along a straight line. */
const estimateRate = (times: readonly number[]): number => {
  const middles: number[] = []
  const logs: number[] = []
  for (let i = 1; i < times.length; i++) {
    middles.push((times[i] + times[i - 1]) / 2)
    logs.push(-Math.log(times[i] - times[i - 1]))
  }
  return 1 / fitLine(middles, logs).slope
}

/** Times between which every cycle reaches full level. */
const fullLevel = (
  samples: Float64Array,
  span: SampleSpan,
  rateHz: number,
  peak: number,
  hzAt: (t: number) => number,
) => {
  const endS = (span.endSample - span.startSample) / rateHz
  const isFull = (t: number) => {
    const halfS = 0.5 / Math.max(1, hzAt(t)) + 4 / rateHz
    const from = Math.max(span.startSample, span.startSample + Math.floor((t - halfS) * rateHz))
    const to = Math.min(span.endSample, span.startSample + Math.ceil((t + halfS) * rateHz))
    for (let i = from; i < to; i++) if (Math.abs(samples[i]) >= fullLevelPart * peak) return true
    return false
  }
  const steps = 2000
  let fromS = 0
  let toS = endS
  while (fromS < endS && !isFull(fromS)) fromS += endS / steps
  while (toS > fromS && !isFull(toS)) toS -= endS / steps
  return { fromS, toS, endS }
}

/**
 * Fits an exponential sweep to a sound by the times at which it passes upwards through zero.
 *
 * @returns null when the sound is no rising exponential sweep
 */
export const fitExponentialSweep = (options: {
  samples: Float64Array
  span: SampleSpan
  rateHz: number
}): ExponentialFit | null => {
  const { samples, span, rateHz } = options
  let peak = 0
  for (let i = span.startSample; i < span.endSample; i++) peak = Math.max(peak, Math.abs(samples[i]))
  const times = passages(samples, span, rateHz, peak)
  if (times.length < fewestCycles) return null
  const estimateS = estimateRate(times)
  if (!(estimateS > 0 && estimateS < 1000)) return null
  const rateS = refineRate(times, estimateS)
  const { slope, rms } = fitCycles(times, rateS)
  if (!(rms <= toleranceCycles)) return null
  const end = times.at(-1)!
  const hzAt = (t: number) => (slope / rateS) * Math.exp((t - end) / rateS)
  const { fromS, toS, endS } = fullLevel(samples, span, rateHz, peak, hzAt)
  const toHz = Math.min(hzAt(toS), 0.48 * rateHz)
  if (!(toHz > hzAt(fromS))) return null
  return { rateS, fromHz: hzAt(fromS), toHz, runInS: fromS, runOutS: endS - rateS * Math.log(toHz / hzAt(0)) }
}
