import type { SweepSignal } from '../sweep/sweep-signal.ts'
import { fftSizeFrom, makeBins, realFft } from '../transform/fft.ts'
import { foldInto } from '../transform/fold.ts'
import { longestFlatS } from './measuring-window.ts'

/** What turns the spectrum of a recorded sweep into the spectrum of the response. */
export interface InverseFilter {
  /** Size of the transforms: the span of lags that is told apart, in samples. */
  size: number
  rateHz: number
  /** Interleaved, real part of bin k at 2k. */
  bins: Float64Array
}

/** Regularisation, relative to the power of the sweep at that frequency: a bias of 1e-5 dB inside the band. */
const regularisation = 1e-6
/** Harmonics up to this one keep a place of their own at negative lags. */
const highestOrderKept = 7
/** Span of lags between the longest window and the highest harmonic, left for reading the noise, s. */
const quietSpanS = 0.6

/** Span of lags before the linear impulse that harmonics take up, s. */
export const harmonicSpanS = (rateS: number | null): number =>
  rateS === null ? 0.5 : rateS * Math.log(highestOrderKept)

/** Damping terms of the three sections of a Butterworth filter of order 6. */
const lowCutDamping = [1, 3, 5].map((n) => 2 * Math.sin((Math.PI * n) / 12))

/**
 * Denominator of the low cut, a Butterworth high-pass of order 6, written to `into` (re, im): the product over its sections
 * of 1 + d p + p^2 with p = corner / (j f).
 */
const lowCutDenominator = (x: number, into: Float64Array): void => {
  const a = 1 - x * x
  let re = 1
  let im = 0
  for (let section = 0; section < 3; section++) {
    const b = -x * lowCutDamping[section]
    const nextRe = re * a - im * b
    im = re * b + im * a
    re = nextRe
  }
  into[0] = re
  into[1] = im
}

const edges = (sweep: SweepSignal) => {
  const { fromHz, toHz } = sweep.settings
  const rateS = sweep.rateS ?? Number.POSITIVE_INFINITY
  const startHz = fromHz * Math.exp(-sweep.runInS / rateS)
  const runOutRatio = Math.exp(sweep.runOutS / rateS)
  const stopHz = Math.min(0.495 * sweep.rateHz, toHz * Math.max(runOutRatio, 1.02))
  const widthLog = Math.log(stopHz / toHz)
  return {
    lowCutHz: startHz * 1.2,
    highFromHz: toHz * Math.exp(0.1 * widthLog),
    highToHz: toHz * Math.exp(0.95 * widthLog),
  }
}

/** Largest |S|^2 f inside the band: constant over frequency for an exponential sweep. */
const sweepPower = (spectrum: Float64Array, binHz: number, sweep: SweepSignal): number => {
  const from = Math.ceil(sweep.settings.fromHz / binHz)
  const to = Math.floor(sweep.settings.toHz / binHz)
  let most = 0
  for (let k = from; k <= to; k++) {
    const weight = sweep.rateS === null ? 1 : k * binHz
    most = Math.max(most, (spectrum[2 * k] ** 2 + spectrum[2 * k + 1] ** 2) * weight)
  }
  return most
}

/**
 * Designs the inverse filter of a sweep's body: S* / (|S|^2 + e) with band edges: a causal low cut below the band, which
 * rings behind the impulse only, and a symmetric fade between the end of the band and the end of the run-out.
 */
export const designInverseFilter = (sweep: SweepSignal): InverseFilter => {
  const body = sweep.bodies[0]
  // The whole body's length of positive lags: what a recorder or a simulation folds over at half the rate stands there.
  const bodyS = (body.endSample - body.startSample) / sweep.rateHz
  const spanS = Math.max(2 * longestFlatS, bodyS) + harmonicSpanS(sweep.rateS) + quietSpanS
  const size = fftSizeFrom(spanS * sweep.rateHz)
  const bins = makeBins(size)
  realFft(size).forward(foldInto(new Float64Array(size), sweep.samples, body.startSample, body.endSample), bins)
  const binHz = sweep.rateHz / size
  const { lowCutHz, highFromHz, highToHz } = edges(sweep)
  const floor = regularisation * sweepPower(bins, binHz, sweep)
  const last = Math.min(size / 2, Math.floor(highToHz / binHz))
  const denominator = new Float64Array(2)
  bins[0] = 0
  for (let k = 1; k <= last; k++) {
    const frequencyHz = k * binHz
    const sr = bins[2 * k]
    const si = bins[2 * k + 1]
    const part = (frequencyHz - highFromHz) / (highToHz - highFromHz)
    const high = part <= 0 ? 1 : 0.5 + 0.5 * Math.cos(Math.PI * part)
    lowCutDenominator(lowCutHz / frequencyHz, denominator)
    const re = denominator[0]
    const im = denominator[1]
    const power = sr * sr + si * si + floor / (sweep.rateS === null ? 1 : frequencyHz)
    const scale = high / (power * (re * re + im * im))
    // conj(S) / denominator = conj(S) conj(denominator) / |denominator|^2
    bins[2 * k] = (sr * re - si * im) * scale
    bins[2 * k + 1] = -(sr * im + si * re) * scale
  }
  bins.fill(0, 2 * last + 2)
  return { size, rateHz: sweep.rateHz, bins }
}
