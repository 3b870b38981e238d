import type { SweepSettings } from '../../src/model/sweep.ts'
import type { WaveAudio } from '../../src/response/wave/wave-format.ts'

/** The usual stimulus of the tests: one 4 s sweep at 48 kHz. */
export const defaultSweep: SweepSettings = {
  rateHz: 48_000,
  durationS: 4,
  fromHz: 20,
  toHz: 20_000,
  levelDbfs: -6,
  repeats: 1,
  silenceBeforeS: 0.3,
  silenceAfterS: 0.7,
  markers: true,
}

/** Samples as `readWave` would give them from a 64-bit file. */
export const asAudio = (rateHz: number, ...channels: Float64Array[]): WaveAudio => ({
  rateHz,
  channels,
  sampleFormat: 'float64',
  bits: 64,
  truncated: false,
})
