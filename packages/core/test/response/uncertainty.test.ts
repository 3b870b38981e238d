import { expect, test } from 'vitest'
import { measureRecording } from '../../src/response/curve/measure-recording.ts'
import { makeSweep } from '../../src/response/sweep/sweep.ts'
import { asAudio, defaultSweep } from './default-sweep.ts'
import { addNoise, applyFilter } from './known-filter.ts'

/** A gentle treble cut: 1-pole at 2 kHz by the bilinear transform; the noise matters more and more towards the top. */
const w = Math.tan((Math.PI * 2000) / 48_000)
const sos = [[w / (1 + w), w / (1 + w), 0, 1, (w - 1) / (w + 1), 0]]
const gainDbAt = (f: number) => {
  // |H|^2 of the bilinear one-pole: 1 / (1 + (tan(pi f / rate) / w)^2), closed form.
  return -10 * Math.log10(1 + (Math.tan((Math.PI * f) / 48_000) / w) ** 2)
}

/** Root mean square of error over stated uncertainty, by part of the band, over several draws of the noise. */
const spread = (options: { repeats: number; durationS: number; snrDb: number; seeds: number }) => {
  const { repeats, durationS, snrDb, seeds } = options
  const sweep = makeSweep({ ...defaultSweep, repeats, durationS })
  const clean = applyFilter(sweep.samples, { sos })
  const squares = new Map<string, { sum: number; count: number }>()
  for (let seed = 1; seed <= seeds; seed++) {
    const recording = addNoise({ recording: clean, sweep, offsetSamples: 0, snrDb, seed: seed * 31 + repeats })
    const { curve } = measureRecording({ sweep, recording: asAudio(48_000, recording) })
    if (!curve) throw new Error('no curve')
    curve.frequencyHz.forEach((f, i) => {
      const part = f < 100 ? 'bass' : f < 2000 ? 'middle' : 'treble'
      const entry = squares.get(part) ?? { sum: 0, count: 0 }
      entry.sum += ((curve.gainDb[i] - gainDbAt(f)) / curve.uncertaintyDb[i]) ** 2
      entry.count++
      squares.set(part, entry)
    })
  }
  return [...squares].map(([part, { sum, count }]) => ({ part, ratio: Math.sqrt(sum / count) }))
}

test.each([
  { repeats: 1, durationS: 4, snrDb: 60, seeds: 6 },
  { repeats: 1, durationS: 4, snrDb: 40, seeds: 6 },
  { repeats: 4, durationS: 2, snrDb: 50, seeds: 4 },
  { repeats: 1, durationS: 0.5, snrDb: 50, seeds: 6 },
])('errors are about one stated uncertainty: $repeats sweep(s) of $durationS s at $snrDb dB', (options) => {
  for (const { part, ratio } of spread(options)) {
    // Neighbouring points share noise, so some 60 independent values per part and run of seeds: 1 +- 0.3 or so; and the
    // statement may be cautious, but not twice too large.
    expect(ratio, part).toBeGreaterThan(0.5)
    expect(ratio, part).toBeLessThan(1.35)
  }
})

test('four repeats halve the uncertainty of one', () => {
  const of = (repeats: number) => {
    const sweep = makeSweep({ ...defaultSweep, durationS: 2, repeats })
    const recording = addNoise({ recording: sweep.samples, sweep, offsetSamples: 0, snrDb: 50, seed: 3 })
    const { curve, perRepeat } = measureRecording({ sweep, recording: asAudio(48_000, recording) })
    expect(perRepeat?.length).toBe(repeats > 1 ? repeats : undefined)
    const squares = curve?.uncertaintyDb.reduce((sum, u) => sum + u * u, 0) ?? 0
    return Math.sqrt(squares / 241)
  }
  // Three degrees of freedom per point, averaged over neighbours: a fifth either way.
  expect(of(1) / of(4)).toBeGreaterThan(1.6)
  expect(of(1) / of(4)).toBeLessThan(2.4)
})
