import {
  type Measurement,
  makeSweep,
  measureRecording,
  SweepSettings,
  type SweepSignal,
  type WaveAudio,
} from '@boardwright/core'
import { butterworth, filtered, type Section, section } from './simulated-recording.ts'

const sweeps = new Map<string, SweepSignal>()

/** A stimulus, made once per settings. */
export function sweepOf(settings: Partial<SweepSettings> = {}): SweepSignal {
  const full = SweepSettings.parse(settings)
  const key = JSON.stringify(full)
  const known = sweeps.get(key) ?? makeSweep(full)
  sweeps.set(key, known)
  return known
}

const waveOf = (channels: Float64Array[], rateHz: number, truncated = false): WaveAudio => ({
  rateHz,
  channels,
  sampleFormat: 'float32',
  bits: 32,
  truncated,
})

export const measured = (options: {
  sweep: SweepSignal
  channels: Float64Array[]
  rateHz?: number
  loopBackChannel?: number
  truncated?: boolean
}): Measurement =>
  measureRecording({
    sweep: options.sweep,
    recording: waveOf(options.channels, options.rateHz ?? options.sweep.rateHz, options.truncated),
    ...(options.loopBackChannel === undefined ? {} : { loopBackChannel: options.loopBackChannel }),
  })

export const codesOf = (measurement: Measurement, severity?: 'refuse' | 'note'): string[] =>
  measurement.findings.filter((f) => severity === undefined || f.severity === severity).map((f) => f.code)

/** Circuits that a recording may have gone through, some of them unkind. */
export function circuits(rateHz: number): Record<string, Section[]> {
  const one = (kind: Parameters<typeof section>[0]['kind'], frequencyHz: number, q: number, gainDb = 0) =>
    section({ kind, frequencyHz, rateHz, q, gainDb })
  const coupling = butterworth('high-pass', 2, 15, rateHz)
  return {
    wire: [],
    'coupling at 30 Hz': butterworth('high-pass', 2, 30, rateHz),
    'steep high-pass at 40 Hz': butterworth('high-pass', 4, 40, rateHz),
    'boost of bass and treble': [one('low-shelf', 100, 0.7, 15), one('high-shelf', 3000, 0.7, 15), ...coupling],
    'cut of bass and treble': [one('low-shelf', 100, 0.7, -15), one('high-shelf', 3000, 0.7, -15), ...coupling],
    'resonance at 60 Hz': [one('peak', 60, 3, 12)],
    'resonance at 1 kHz': [one('peak', 1000, 5, 10)],
    'sharp resonance at 3 kHz': [one('peak', 3000, 10, 15)],
    'notch at 100 Hz': [one('peak', 100, 10, -30)],
    'notch at 500 Hz': [one('peak', 500, 8, -20)],
    'resonant low-pass': [one('low-pass', 4000, 3)],
    'all-pass': [one('all-pass', 300, 0.7)],
    'steep low-pass at 5 kHz': butterworth('low-pass', 8, 5000, rateHz),
    'steep low-pass at 1 kHz': butterworth('low-pass', 8, 1000, rateHz),
    'low-pass at 300 Hz': butterworth('low-pass', 4, 300, rateHz),
    'high-pass at 1 kHz': butterworth('high-pass', 4, 1000, rateHz),
  }
}

/** The stimulus behind a circuit, brought to a peak of 0.9. */
export function through(sweep: SweepSignal, sections: readonly Section[]): Float64Array {
  const signal = filtered(sweep.samples, sections)
  const peak = signal.reduce((a, v) => Math.max(a, Math.abs(v)), 0)
  return signal.map((v) => (0.9 * v) / peak)
}
