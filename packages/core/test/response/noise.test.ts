import { describe, expect, test } from 'vitest'
import { aWeighting } from '../../src/response/curve/a-weighting.ts'
import { measureNoise } from '../../src/response/curve/noise.ts'
import { makeSweep } from '../../src/response/sweep/sweep.ts'
import { defaultSweep } from './default-sweep.ts'
import { normalDraws } from './seeded-noise.ts'

describe('A-weighting', () => {
  // IEC 61672-1:2013, table 3 (shared check 02, third_octave_and_weighting.csv), at the exact base-ten frequencies.
  test.each([
    [-17, -50.5],
    [-15, -39.4],
    [-13, -30.2],
    [-10, -19.1],
    [-7, -10.9],
    [-3, -3.2],
    [0, 0],
    [4, 1.3],
    [6, 1],
    [10, -2.5],
    [13, -9.3],
  ])('1000 * 10^(%d/10) Hz: %f dB', (n, expectedDb) => {
    // The table is rounded to 0.1 dB.
    expect(Math.abs(20 * Math.log10(aWeighting(1000 * 10 ** (n / 10))) - expectedDb)).toBeLessThan(0.051)
  })
})

describe('noise of a recording', () => {
  const sweep = makeSweep({ ...defaultSweep, silenceBeforeS: 1, silenceAfterS: 1.5 })
  const withNoise = (make: (i: number) => number) => sweep.samples.map((value, i) => value + make(i))
  const measure = (samples: Float64Array) => {
    const noise = measureNoise({ sweep, samples, offsetSamples: 0 })
    if (!noise) throw new Error('no noise read')
    return noise
  }

  test('a full-scale sine would read 0 dB: a 1 kHz tone 80 dB under it reads -80 dB, weighted too (AES17, IEC 61672-1)', () => {
    const noise = measure(withNoise((i) => 1e-4 * Math.sin((2 * Math.PI * 1000 * i) / 48_000)))
    expect(noise.unweightedDbfs).toBeCloseTo(-80, 2)
    expect(noise.aWeightedDbfs).toBeCloseTo(-80, 2)
  })

  test('100 Hz is weighted by -19.1 dB; DC does not count', () => {
    const noise = measure(withNoise((i) => 0.02 + 1e-3 * Math.sin((2 * Math.PI * 100 * i) / 48_000)))
    expect(noise.unweightedDbfs).toBeCloseTo(-60, 1)
    expect(noise.aWeightedDbfs - noise.unweightedDbfs).toBeCloseTo(-19.145, 1)
  })

  test('white noise: level, A-weighted level by numerical integration, signal-to-noise against the sweep', () => {
    const draw = normalDraws(7)
    const rms = 10 ** (-70 / 20) / Math.SQRT2
    const noise = measure(withNoise(() => rms * draw()))
    let weighted = 0
    for (let f = 0.5; f < 24_000; f++) weighted += aWeighting(f) ** 2 / 24_000
    // About 100,000 samples: the mean square is known to 0.45 %, 0.02 dB; 0.08 dB is four times that.
    expect(Math.abs(noise.unweightedDbfs - -70)).toBeLessThan(0.08)
    expect(Math.abs(noise.aWeightedDbfs - (-70 + 10 * Math.log10(weighted)))).toBeLessThan(0.15)
    // The body is a sine of -6 dBFS but for its fades (two thirds of a second of 4.5 s, at half power).
    expect(noise.signalToNoiseDb).toBeGreaterThan(63.4)
    expect(noise.signalToNoiseDb).toBeLessThan(64.1)
  })

  test('digital silence reads -200 dB; a recording without silence reads nothing', () => {
    expect(measure(sweep.samples).unweightedDbfs).toBe(-200)
    const [{ startSample, endSample }] = sweep.bodies
    const samples = sweep.samples.slice(startSample, endSample)
    expect(measureNoise({ sweep, samples, offsetSamples: -startSample })).toBeNull()
  })
})
