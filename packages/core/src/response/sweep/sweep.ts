import { BoardwrightError } from '../../model/error.ts'
import type { SweepSettings } from '../../model/sweep.ts'
import type { SampleSpan, SweepSignal } from './sweep-signal.ts'

/** Silence between two repeats (s): the response to one sweep has died before the next begins. */
const repeatGapS = 0.5
/** Silence between a marker and the sweep beside it (s). */
const markerGapS = 0.3
const markerDurationS = 0.02
const markerFromHz = 500
const markerToHz = 8000
/** The part of run-in and run-out taken by the fade; the rest is at full level, clear of the band's edge. */
const fadePart = 0.5

/** Raised-cosine rise from 0 to 1 while `part` goes from 0 to 1. */
const rise = (part: number): number => (part <= 0 ? 0 : part >= 1 ? 1 : 0.5 - 0.5 * Math.cos(Math.PI * part))

const check = (settings: SweepSettings): void => {
  const { fromHz, toHz, rateHz } = settings
  const refuse = (message: string) => new BoardwrightError('bad-argument', message)
  if (!(toHz > fromHz * 1.5)) {
    throw refuse(`A sweep from ${fromHz} Hz to ${toHz} Hz is too narrow: it must end at least half an octave higher.`)
  }
  if (!(toHz < 0.48 * rateHz)) {
    throw refuse(
      `A sweep to ${toHz} Hz does not fit a sample rate of ${rateHz} Hz: it must end below ${Math.floor(0.48 * rateHz)} Hz.`,
    )
  }
}

/** Timing of one sweep body. The run-in begins an octave below; the run-out goes up to half an octave, below Nyquist. */
export const sweepTiming = (settings: SweepSettings): { rateS: number; runInS: number; runOutS: number } => {
  const rateS = settings.durationS / Math.log(settings.toHz / settings.fromHz)
  const stopHz = Math.min(settings.toHz * Math.SQRT2, 0.49 * settings.rateHz)
  return { rateS, runInS: rateS * Math.LN2, runOutS: rateS * Math.log(stopHz / settings.toHz) }
}

/** Samples of one sweep body, run-in and run-out included. */
const makeBody = (settings: SweepSettings): Float64Array => {
  const { rateS, runInS, runOutS } = sweepTiming(settings)
  const amplitude = 10 ** (settings.levelDbfs / 20)
  const length = Math.ceil((runInS + settings.durationS + runOutS) * settings.rateHz)
  const radians = 2 * Math.PI * settings.fromHz * rateS
  const endS = settings.durationS + runOutS
  const body = new Float64Array(length)
  for (let i = 0; i < length; i++) {
    const t = i / settings.rateHz - runInS
    const gain = rise((t + runInS) / (fadePart * runInS)) * rise((endS - t) / (fadePart * runOutS))
    body[i] = amplitude * gain * Math.sin(radians * Math.exp(t / rateS))
  }
  return body
}

/** The marker: 20 ms from 500 Hz to 8 kHz, rising linearly, under one raised-cosine hump. */
const makeMarker = (rateHz: number, amplitude: number): Float64Array => {
  const length = Math.round(markerDurationS * rateHz)
  return Float64Array.from({ length }, (_, i) => {
    const t = i / rateHz
    const cycles = markerFromHz * t + ((markerToHz - markerFromHz) / (2 * markerDurationS)) * t * t
    return amplitude * rise((2 * Math.min(i, length - 1 - i)) / (length - 1)) * Math.sin(2 * Math.PI * cycles)
  })
}

/** Where everything stands: silence, marker, gap, sweeps with gaps, gap, marker, silence. */
const layOut = (settings: SweepSettings, bodyLength: number) => {
  const samplesOf = (seconds: number) => Math.round(seconds * settings.rateHz)
  const bodies: SampleSpan[] = []
  const markers: SampleSpan[] = []
  let at = samplesOf(settings.silenceBeforeS)
  const place = (spans: SampleSpan[], length: number) => {
    spans.push({ startSample: at, endSample: at + length })
    at += length
  }
  if (settings.markers) {
    place(markers, samplesOf(markerDurationS))
    at += samplesOf(markerGapS)
  }
  for (let repeat = 0; repeat < settings.repeats; repeat++) {
    if (repeat > 0) at += samplesOf(repeatGapS)
    place(bodies, bodyLength)
  }
  if (settings.markers) {
    at += samplesOf(markerGapS)
    place(markers, samplesOf(markerDurationS))
  }
  return { bodies, markers, length: at + samplesOf(settings.silenceAfterS) }
}

/**
 * Makes the stimulus: a synchronised exponential sweep A sin(2 pi f1 L exp(t/L)), L = T / ln(f2/f1), for t from below 0
 * (run-in from an octave under `fromHz`, with the fade-in) to beyond T (run-out above `toHz`, with the fade-out), so that
 * the band asked for is at full level. Without the "-1" in the exponent every harmonic is the fundamental advanced by
 * L ln k, for any f1, f2, T.
 *
 * @throws BoardwrightError `bad-argument` when the band is too narrow or does not fit the rate
 * Source: Novak, Lotton, Simon, J. Audio Eng. Soc. 63(10), 2015 (CHECKS 04-O05).
 */
export const makeSweep = (settings: SweepSettings): SweepSignal => {
  check(settings)
  const body = makeBody(settings)
  const { bodies, markers, length } = layOut(settings, body.length)
  const samples = new Float64Array(length)
  for (const span of bodies) samples.set(body, span.startSample)
  const marker = makeMarker(settings.rateHz, 10 ** (settings.levelDbfs / 20))
  for (const span of markers) samples.set(marker, span.startSample)
  return { settings, rateHz: settings.rateHz, samples, bodies, markers, ...sweepTiming(settings) }
}
