import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { SweepSettings } from '../../../src/model/sweep.ts'
import { makeHardLadder } from '../../../src/response/hard/hard-ladder.ts'
import { readHardSweep } from '../../../src/response/hard/read-hard-sweep.ts'
import { readLadder } from '../../../src/response/hard/read-ladder.ts'
import { toneHarmonics } from '../../../src/response/hard/tone-harmonics.ts'
import { makeSweep } from '../../../src/response/sweep/sweep.ts'
import { normalDraws } from '../seeded-noise.ts'
import { record } from './device.ts'

const decibels = (ratio: number) => 20 * Math.log10(ratio)
/** Whole periods of a cosine through a law, as the ladder's window holds them. */
const tone = (law: (x: number) => number, peak: number, cycles = 22, length = 9600) =>
  Float64Array.from({ length }, (_, i) => law(peak * Math.cos((2 * Math.PI * cycles * i) / length + 0.7)))
const read = (law: (x: number) => number, peak: number) => toneHarmonics({ samples: tone(law, peak), cycles: 22 })
const of = (reading: ReturnType<typeof read>, order: number) => reading.harmonics.find((one) => one.order === order)!

describe('a tone taken apart', () => {
  // Chebyshev polynomials: T_k(cos p) = cos(k p), so one pure harmonic each (Abramowitz and Stegun 22.3.15).
  const chebyshev: Record<number, (x: number) => number> = {
    2: (x) => 2 * x ** 2 - 1,
    3: (x) => 4 * x ** 3 - 3 * x,
    4: (x) => 8 * x ** 4 - 8 * x ** 2 + 1,
    5: (x) => 16 * x ** 5 - 20 * x ** 3 + 5 * x,
    6: (x) => 32 * x ** 6 - 48 * x ** 4 + 18 * x ** 2 - 1,
    7: (x) => 64 * x ** 7 - 112 * x ** 5 + 56 * x ** 3 - 7 * x,
  }
  it.each([2, 3, 4, 5, 6, 7])('finds the Chebyshev polynomial of order %i as that harmonic alone', (order) => {
    for (const sign of [1, -1]) {
      const reading = read((x) => x + sign * 0.01 * chebyshev[order](x), 1)
      expect(of(reading, order).levelDb).toBeCloseTo(-40, 6)
      expect(Math.abs(of(reading, order).phaseDeg)).toBeCloseTo(sign === 1 ? 0 : 180, 5)
      expect(reading.thdPercent).toBeCloseTo(1, 6)
      for (const other of [2, 3, 4, 5, 6, 7]) if (other !== order) expect(of(reading, other).levelDb).toBeLessThan(-190)
    }
  })

  it('agrees with the trigonometric identities of a polynomial', () => {
    const [b, c, d, e] = [0.1, -0.2, 0.05, 0.08]
    const a = 0.5
    // Powers of a cosine: x^2 = (1 + C2)/2, x^3 = (3 C1 + C3)/4, x^4 = (3 + 4 C2 + C4)/8, x^5 = (10 C1 + 5 C3 + C5)/16.
    const first = a + (3 / 4) * c * a ** 3 + (10 / 16) * e * a ** 5
    const expected = {
      2: (b * a ** 2) / 2 + (d * a ** 4) / 2,
      3: (c * a ** 3) / 4 + (5 / 16) * e * a ** 5,
      4: (d * a ** 4) / 8,
      5: (e * a ** 5) / 16,
    }
    const reading = read((x) => x + b * x ** 2 + c * x ** 3 + d * x ** 4 + e * x ** 5, a)
    expect(reading.amplitude).toBeCloseTo(first, 9)
    for (const [order, amplitude] of Object.entries(expected)) {
      expect(of(reading, Number(order)).levelDb).toBeCloseTo(decibels(Math.abs(amplitude) / first), 6)
      expect(Math.abs(of(reading, Number(order)).phaseDeg)).toBeCloseTo(amplitude > 0 ? 0 : 180, 4)
    }
  })

  it.each([1.01, 1.2, 2, 5])('agrees with the Fourier series of a clipped wave, %f times the limit', (drive) => {
    // Clipping at +-1 of drive cos p, with sin q = 1/drive: b1 = (2/pi)(drive q + cos q),
    // b_k = (2 drive/pi) (sin((k-1)q)/(k-1) + sin((k+1)q)/(k+1)) cos p-series of the odd orders, with p counted from the
    // flank; from the crest every second odd order changes its sign. Derived by hand from the integral.
    const q = Math.asin(1 / drive)
    const amplitudeOf = (k: number) =>
      k === 1
        ? (2 / Math.PI) * (drive * q + Math.cos(q))
        : ((2 * drive) / (Math.PI * k)) * (Math.sin((k - 1) * q) / (k - 1) + Math.sin((k + 1) * q) / (k + 1))
    const long = tone((x) => Math.max(-1, Math.min(1, x)), drive, 22, 96_000)
    const reading = toneHarmonics({ samples: long, cycles: 22 })
    expect(reading.amplitude).toBeCloseTo(amplitudeOf(1), 5)
    for (const order of [3, 5, 7]) {
      // Corners fold back at any sample rate: 1e-5 of the fundamental at this one.
      const size = 10 ** (of(reading, order).levelDb / 20) * reading.amplitude
      expect(size).toBeCloseTo(Math.abs(amplitudeOf(order)), 4)
    }
    expect(of(reading, 2).levelDb).toBeLessThan(-90)
    // Its tops are at the limit; 20 harmonics of a corner come within a few per cent.
    expect(reading.high).toBeCloseTo(1, 1)
    expect(reading.low).toBeCloseTo(-1, 1)
  })

  it('agrees with numpy about a hyperbolic tangent (fixtures/saturation.py)', () => {
    const { tanh } = JSON.parse(readFileSync(new URL('./fixtures/saturation.json', import.meta.url), 'utf8')) as {
      tanh: { peak: number; bias: number; amplitudes: number[] }[]
    }
    expect(tanh.length).toBe(10)
    for (const { peak, bias, amplitudes } of tanh) {
      const reading = read((x) => Math.tanh(x + bias), peak)
      expect(reading.amplitude).toBeCloseTo(amplitudes[0], 9)
      for (const { order, levelDb, phaseDeg } of reading.harmonics) {
        const expected = amplitudes[order - 1]
        // The window's own side lines are 1e-9 of the fundamental: below a millionth they would count.
        if (Math.abs(expected) < 1e-6 * amplitudes[0]) continue
        expect(levelDb).toBeCloseTo(decibels(Math.abs(expected / amplitudes[0])), 4)
        expect(Math.abs(phaseDeg)).toBeCloseTo(expected > 0 ? 0 : 180, 3)
      }
    }
  })

  it('counts phases from the crest, wherever the window begins', () => {
    const law = (x: number) => x + 0.05 * x ** 2
    const shifted = Float64Array.from({ length: 9600 }, (_, i) => law(Math.cos((2 * Math.PI * 22 * (i + 133)) / 9600)))
    expect(toneHarmonics({ samples: shifted, cycles: 22 }).harmonics[0].phaseDeg).toBeCloseTo(0, 6)
  })

  it('does not take noise for distortion', () => {
    const random = normalDraws(5)
    const noisy = tone((x) => x, 0.5).map((x) => x + 1e-3 * random())
    const reading = toneHarmonics({ samples: noisy, cycles: 22 })
    // White noise of 1e-3 r.m.s. in a Hann line of 9600 samples: peak amplitude 1e-3 x 2 sqrt(1.5/9600), 2.5e-5.
    const expectedDb = decibels((1e-3 * 2 * Math.sqrt(1.5 / 9600)) / 0.5)
    const noiseDb = reading.harmonics.map((one) => one.noiseDb)
    const mean = noiseDb.reduce((a, b) => a + b, 0) / noiseDb.length
    expect(Math.abs(mean - expectedDb)).toBeLessThan(3)
    expect(reading.thdPercent).toBeLessThan(0.02)
  })
})

describe('loud sweep and ladder together', () => {
  const sweep = makeSweep(SweepSettings.parse({ levelDbfs: -6, durationS: 3 }))
  const ladder = makeHardLadder({ rateHz: 48_000, tonesHz: [110, 1010, 4010], levelsDbfs: [-18, -12, -6] })

  it('tell the same of a board, level and sign (synchronised sweep, Novak et al. 2015)', () => {
    const law = (x: number) => x + 0.1 * x ** 2 - 0.2 * x ** 3 + 0.05 * x ** 4 + 0.08 * x ** 5
    const swept = readHardSweep({
      sweep,
      samples: record(sweep.samples, law, { noise: 1e-6 }).channels[0],
      rateHz: 48_000,
      levelV: 0.5,
      gainOffsetDb: 0,
    })
    const tones = readLadder({
      ladder,
      samples: record(ladder.samples, law, { noise: 1e-6, seed: 3 }).channels[0],
      rateHz: 48_000,
      fullScaleOutV: 1,
      fullScaleInV: 1,
    })
    expect(swept.findings).toEqual([])
    expect(tones.findings).toEqual([])
    const loudest = tones.steps.filter((step) => step.inputV > 0.4)
    expect(loudest.map((step) => step.toneHz)).toEqual([110, 1010, 4010])
    for (const step of loudest) {
      const i = swept.sweep!.frequencyHz.findIndex((f) => f >= step.toneHz)
      expect(swept.sweep!.gainDb[i]).toBeCloseTo(step.gainDb, 2)
      for (const { order, levelDb, phaseDeg } of swept.sweep!.harmonics) {
        const other = step.harmonics.find((one) => one.order === order)
        if (!other || levelDb[i] === null) continue
        // The harmonic of order 5 stands at -70 dB: the noise of 1e-6 moves it by some hundredths.
        expect(Math.abs(levelDb[i] - other.levelDb)).toBeLessThan(0.05)
        expect(Math.abs(Math.abs(phaseDeg[i]!) - Math.abs(other.phaseDeg))).toBeLessThan(1)
      }
    }
  })

  it('see no harmonics in a board that has none', () => {
    const samples = record(sweep.samples, (x) => 0.8 * x, { noise: 1e-6 }).channels[0]
    const swept = readHardSweep({ sweep, samples, rateHz: 48_000, levelV: 0.5, gainOffsetDb: 0 }).sweep!
    for (const { levelDb } of swept.harmonics)
      for (const level of levelDb) if (level !== null) expect(level).toBeLessThan(-85)
    for (const gain of swept.gainDb) expect(gain).toBeCloseTo(decibels(0.8), 2)
  })
})
