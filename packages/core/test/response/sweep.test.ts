import { describe, expect, test } from 'vitest'
import { makeSweep, sweepTiming } from '../../src/response/sweep/sweep.ts'
import { defaultSweep } from './default-sweep.ts'

describe('closed forms', () => {
  test('rate of a 10 s sweep from 20 Hz to 20 kHz (shared check 04-O01, Farina 2000)', () => {
    expect(sweepTiming({ ...defaultSweep, durationS: 10 }).rateS).toBeCloseTo(1.447648273, 9)
  })

  test('sin(2 pi f1 L exp(t/L)) without the "-1" (04-O05, Novak et al. 2015)', () => {
    // L = 1.45 s and f1 = 20 Hz as in the check: 0.429066195 at t = 0.1 s.
    const durationS = 1.45 * Math.log(1000)
    const sweep = makeSweep({ ...defaultSweep, durationS, levelDbfs: 0, rateHz: 48_000 })
    const zero = sweep.bodies[0].startSample + sweep.runInS * 48_000
    const valueAt = (t: number) => {
      const at = zero + t * 48_000
      const i = Math.floor(at)
      return sweep.samples[i] + (at - i) * (sweep.samples[i + 1] - sweep.samples[i])
    }
    // Straight between two samples at 21 Hz: (2 pi 21 / 48000)^2 / 8 = 1e-6.
    expect(valueAt(0)).toBeCloseTo(0, 5)
    expect(valueAt(0.1)).toBeCloseTo(0.42906619505, 5)
  })

  test('harmonic k is the fundamental advanced by L ln k, for any band and length', () => {
    const sweep = makeSweep({ ...defaultSweep, durationS: 3.21, fromHz: 23.4, toHz: 17_000 })
    const rateS = sweep.rateS ?? Number.NaN
    const phase = (t: number) => 2 * Math.PI * 23.4 * rateS * Math.exp(t / rateS)
    for (const k of [2, 3, 4, 5]) {
      for (const t of [0.1, 0.7, 1.3]) {
        expect(Math.sin(k * phase(t))).toBeCloseTo(Math.sin(phase(t + rateS * Math.log(k))), 8)
      }
    }
  })
})

describe('the signal', () => {
  test.each([44_100, 48_000, 96_000, 192_000])(
    'at %d Hz the whole band is at full level, faded ends outside',
    (rateHz) => {
      const sweep = makeSweep({ ...defaultSweep, rateHz })
      const [{ startSample, endSample }] = sweep.bodies
      const from = startSample + Math.round(sweep.runInS * rateHz)
      const to = endSample - Math.round(sweep.runOutS * rateHz)
      const amplitude = 10 ** (-6 / 20)
      const peakIn = (first: number, end: number) =>
        sweep.samples.subarray(first, end).reduce((most, v) => Math.max(most, Math.abs(v)), 0)
      // One cycle at 20 Hz is 50 ms; at 20 kHz a peak may fall between samples, so 5 ms are searched.
      expect(peakIn(from, from + 0.05 * rateHz) / amplitude).toBeCloseTo(1, 3)
      expect(peakIn(Math.round(to - 0.005 * rateHz), to) / amplitude).toBeCloseTo(1, 1)
      expect(peakIn(0, sweep.samples.length)).toBeLessThanOrEqual(amplitude)
      expect(Math.abs(sweep.samples[startSample])).toBeLessThan(1e-6)
      expect(Math.abs(sweep.samples[endSample - 1])).toBeLessThan(0.002)
      expect(peakIn(0, sweep.markers[0].startSample)).toBe(0)
    },
  )

  test('repeats and markers stand where the signal says', () => {
    const sweep = makeSweep({ ...defaultSweep, repeats: 3 })
    const [first, ...others] = sweep.bodies
    expect(sweep.bodies).toHaveLength(3)
    for (const other of others) {
      expect(sweep.samples.subarray(other.startSample, other.endSample)).toEqual(
        sweep.samples.subarray(first.startSample, first.endSample),
      )
    }
    const [a, b] = sweep.markers
    expect(a.endSample).toBeLessThan(first.startSample)
    expect(b.startSample).toBeGreaterThan(others[1].endSample)
    expect(sweep.samples.length - b.endSample).toBe(0.7 * 48_000)
    expect(makeSweep({ ...defaultSweep, markers: false }).markers).toEqual([])
  })
})

test.each([
  [{ toHz: 25 }, /too narrow/],
  [{ rateHz: 44_100, toHz: 21_500 }, /must end below 21168 Hz/],
])('%j is refused', (change, message) => {
  expect(() => makeSweep({ ...defaultSweep, ...change })).toThrow(message)
})
