import { expect, test } from 'vitest'
import type { SampleFormat, SweepSettings } from '../../src/model/sweep.ts'
import { measureRecording } from '../../src/response/curve/measure-recording.ts'
import { makeSweep } from '../../src/response/sweep/sweep.ts'
import type { SweepSignal } from '../../src/response/sweep/sweep-signal.ts'
import { readWave } from '../../src/response/wave/read-wave.ts'
import { writeWave } from '../../src/response/wave/write-wave.ts'
import { compareCurves } from './compare-curves.ts'
import { addNoise, applyFilter, type KnownFilter, knownFilters, shifted } from './known-filter.ts'

// Expected curves: scipy.signal, by fixtures/make_filters.py. The task's limits: 0.01 dB and 0.1 degree from 20 Hz to
// 20 kHz, with one 4 s sweep and noise 60 dB under the recorded sweep.
const settings: SweepSettings = {
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
const sweeps = new Map<number, SweepSignal>()
const sweepAt = (rateHz: number) => {
  const known = sweeps.get(rateHz) ?? makeSweep({ ...settings, rateHz })
  sweeps.set(rateHz, known)
  return known
}
/** Where the filter lets less than this through, white noise 60 dB under the whole outweighs 0.01 dB whatever one does. */
const deepDb = 20

/** Every format at the usual rate; the others with 24 bits, as interfaces record. */
const cases = knownFilters.flatMap((filter) =>
  (filter.rateHz === 48_000 ? (['pcm16', 'pcm24', 'pcm32', 'float32'] as const) : (['pcm24'] as const)).map(
    (format) => ({ name: filter.name, rateHz: filter.rateHz, filter, format }),
  ),
)

const record = (filter: KnownFilter, format: SampleFormat, seed: number) => {
  const sweep = sweepAt(filter.rateHz)
  const offsetSamples = 2311
  const clean = shifted(applyFilter(sweep.samples, filter), offsetSamples)
  const peak = clean.reduce((most, value) => Math.max(most, Math.abs(value)), 0)
  // Filters that boost are turned down so that no sample clips; the turn is added to the expected gain.
  const turn = peak > 0.9 ? 0.9 / peak : 1
  const recording = addNoise({ recording: clean.map((v) => v * turn), sweep, offsetSamples, snrDb: 60, seed })
  const bytes = writeWave({ rateHz: filter.rateHz, channels: [recording], format })
  return { sweep, recording: readWave(bytes), turnDb: 20 * Math.log10(turn) }
}

test.each(cases)('$name at $rateHz Hz comes back from a $format recording', ({ filter, format }) => {
  const { sweep, recording, turnDb } = record(filter, format, filter.rateHz + format.length)
  const { curve } = measureRecording({ sweep, recording })
  if (!curve) throw new Error('no curve')
  expect(curve.frequencyHz).toHaveLength(241)
  const loudestDb = Math.max(...filter.gainDb)
  const errors = compareCurves({ ...curve, gainDb: curve.gainDb.map((g) => g - turnDb) }, filter)
  for (const error of errors) {
    const isDeep = error.expectedDb < loudestDb - deepDb
    // In the deep the noise decides: 4.5 standard uncertainties, which chance exceeds once in 150,000 points.
    const limitDb = isDeep ? Math.max(0.01, 4.5 * error.uncertaintyDb) : 0.01
    expect(Math.abs(error.gainDb), `gain at ${error.frequencyHz} Hz`).toBeLessThan(limitDb)
    const limitDeg = isDeep ? Math.max(0.1, (4.5 * error.uncertaintyDb * 180) / Math.PI / 8.686) : 0.1
    expect(Math.abs(error.phaseDeg), `phase at ${error.frequencyHz} Hz`).toBeLessThan(limitDeg)
  }
})
