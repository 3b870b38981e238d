import { makeReference, type SettingMeasurement, SweepSettings } from '@boardwright/core'
import { describe, expect, test } from 'vitest'
import { meanCurve } from '../../src/response/curve/mean-curve.ts'
import { maxShape, measurementOf } from './judge-fixture.ts'
import { normalDraws } from './seeded-noise.ts'

const head = {
  productId: 'plover',
  revision: 'B',
  version: 1,
  createdAt: '2026-01-05T10:00:00Z',
  station: 'bench',
  note: 'first',
  sweep: SweepSettings.parse({}),
}
const runs = (offsets: number[], change: Partial<SettingMeasurement> = {}) =>
  offsets.map((offset) => measurementOf({ setting: 'max', shape: (f) => maxShape(f) + offset, change }))

describe('reference from runs', () => {
  // Hand arithmetic: mean of 0.1, 0.2, 0.3 is 0.2, standard deviation 0.1; JCGM 100 table G.2 gives t = 1.32 for two
  // degrees of freedom at 68.27 %.
  test('mean, repeatability and uncertainty of the mean', () => {
    const { settings } = makeReference({ ...head, runs: runs([0.1, 0.2, 0.3]) })
    const [max] = settings
    expect(max.runs).toBe(3)
    expect(max.gainAt1kHzDb).toBeCloseTo(maxShape(1000) + 0.2, 12)
    expect(max.curve.gainDb[50]).toBeCloseTo(maxShape(max.curve.frequencyHz[50]) + 0.2, 12)
    expect(max.repeatabilityDb[50]).toBeCloseTo(0.1, 12)
    expect(max.curve.uncertaintyDb[50]).toBeCloseTo((1.32 * 0.1) / Math.sqrt(3), 12)
  })

  test('runs that agree by chance are no more certain than their own noise in a mean', () => {
    const { settings } = makeReference({ ...head, runs: runs([0, 0, 0, 0]) })
    expect(settings[0].repeatabilityDb[10]).toBe(0)
    expect(settings[0].curve.uncertaintyDb[10]).toBeCloseTo(0.02 / 2, 12)
  })

  test('a single run is allowed, and the note says what is missing', () => {
    const reference = makeReference({ ...head, runs: runs([0.1]) })
    expect(reference.settings[0].repeatabilityDb.every((s) => s === 0)).toBe(true)
    expect(reference.settings[0].curve.uncertaintyDb[0]).toBe(0.02)
    expect(reference.note).toMatch(/^first One run only at "max"/)
    expect(makeReference({ ...head, runs: runs([0, 0.1]) }).note).toBe('first')
  })

  test('phases are turned by whole turns before they are averaged', () => {
    const curveAt = (phase: number) => ({
      frequencyHz: [100, 1000],
      gainDb: [0, 0],
      phaseDeg: [phase, phase - 90],
      uncertaintyDb: [0, 0],
    })
    const { curve } = meanCurve([curveAt(-179), curveAt(179), curveAt(541)])
    curve.phaseDeg.forEach((p, i) => {
      expect(p).toBeCloseTo([(-179 - 181 - 179) / 3, (-179 - 181 - 179) / 3 - 90][i], 9)
    })
  })

  // The stated uncertainty must hold the true mean in 68 % of all references, whatever the number of runs.
  test.each([2, 3, 5, 12])('the uncertainty of %i runs covers the truth in 68 of 100 cases', (n) => {
    const draw = normalDraws(77 + n)
    const trials = 6000
    let inside = 0
    for (let k = 0; k < trials; k++) {
      const curves = Array.from({ length: n }, () => ({
        frequencyHz: [1000],
        gainDb: [0.05 * draw()],
        phaseDeg: [0],
        uncertaintyDb: [0],
      }))
      const { curve } = meanCurve(curves)
      if (Math.abs(curve.gainDb[0]) <= curve.uncertaintyDb[0]) inside++
    }
    // Four standard errors of the count, and 0.003 for the two figures of the published factors.
    expect(Math.abs(inside / trials - 0.6827)).toBeLessThan(4 * Math.sqrt((0.68 * 0.32) / trials) + 0.003)
  })

  test('settings are kept apart, in the order of their first run', () => {
    const other = measurementOf({ setting: 'min', shape: () => -3 })
    const { settings } = makeReference({ ...head, runs: [...runs([0]), other, ...runs([0.1])] })
    expect(settings.map((s) => [s.setting, s.runs])).toEqual([
      ['max', 2],
      ['min', 1],
    ])
  })
})

describe('what a reference refuses', () => {
  const silent = {
    code: 'silent' as const,
    severity: 'refuse' as const,
    message: 'The recording is silent (peak −84 dBFS): is the board powered, are the pins down?',
    remedy: '',
  }
  test.each([
    [
      'recording-refused',
      () => [...runs([0]), ...runs([0], { usable: false, findings: [silent] })],
      /Run 2 at "max" \(max\.wav\).*silent/,
    ],
    ['recording-refused', () => [...runs([0]), ...runs([0], { curve: null })], /no response curve/],
    ['recording-refused', () => [...runs([0]), ...runs([0], { polarity: -1 })], /upside down/],
    ['reference-not-repeatable', () => runs([0, 0, 1.4]), /differ by 1\.4 dB/],
    ['setting-missing', () => [], /at least one run/],
  ] as const)('%s', (code, make, message) => {
    const attempt = () => makeReference({ ...head, runs: make() })
    expect(attempt).toThrow(message)
    expect(attempt).toThrow(expect.objectContaining({ code }))
  })

  test('runs on different grids', () => {
    const short = measurementOf({ setting: 'max', shape: maxShape, frequencyHz: [100, 1000] })
    expect(() => makeReference({ ...head, runs: [...runs([0]), short] })).toThrow(/other frequencies/)
  })
})
