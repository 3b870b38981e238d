import { type Finding, judge, type Reference, type SettingMeasurement, type TestPlan } from '@boardwright/core'
import { describe, expect, test } from 'vitest'
import {
  flatShape,
  maxShape,
  measurementOf,
  minShape,
  planOf,
  referenceBoard,
  referenceOf,
  runOff,
  type Shape,
} from './judge-fixture.ts'

const verdictOf = (options: { plan?: TestPlan; reference?: Reference; measurements: SettingMeasurement[] }) =>
  judge({ plan: options.plan ?? planOf(), reference: options.reference ?? referenceBoard(), ...options })
const above =
  (fromHz: number, db: number): Shape =>
  (f) =>
    f >= fromHz ? db : 0
const silent: Finding = { code: 'silent', severity: 'refuse', message: 'The recording is silent.', remedy: 'Check it.' }

describe('verdict', () => {
  test('the reference board itself passes, and the reason says how near it came', () => {
    const judgement = verdictOf({ measurements: runOff({}) })
    expect(judgement.verdict).toBe('pass')
    expect(judgement.reasons).toHaveLength(1)
    expect(judgement.reasons[0].message).toMatch(
      /^Every setting is inside its band; nearest to a limit: .* 1\.50 dB inside\.$/,
    )
  })

  test('a treble that is too low fails, in words with frequencies, deviation and limit', () => {
    const judgement = verdictOf({ measurements: runOff({ max: above(2000, -3.4) }) })
    expect(judgement.verdict).toBe('fail')
    expect(judgement.reasons[0]).toMatchObject({ code: 'outside-band', verdict: 'fail', setting: 'max' })
    expect(judgement.reasons[0].message).toMatch(
      /^At maximum the treble is 3\.4 dB too low from 2 kHz to 20 kHz, worst at [\d.]+ kHz \(limit −1\.5 dB\)\.$/,
    )
    const [stretch] = judgement.settings[0].stretches
    expect(stretch).toMatchObject({ setting: 'max', kind: 'below', verdict: 'fail', limitDb: -1.5, toHz: 20_000 })
    expect(stretch.deviationDb).toBeCloseTo(-3.4, 9)
    expect(stretch.fromHz).toBeCloseTo(20 * 2 ** (160 / 24), 9)
    expect(judgement.settings[1]).toMatchObject({ setting: 'min', verdict: 'pass', stretches: [] })
  })

  test('a deviation near its limit is too close to call', () => {
    const judgement = verdictOf({ measurements: runOff({ max: above(2000, 1.48) }) })
    expect(judgement.verdict).toBe('repeat')
    expect(judgement.reasons[0]).toMatchObject({ code: 'near-limit', setting: 'max' })
    expect(judgement.reasons[0].message).toMatch(/treble is too close to call .* known within 0\.0\d dB/)
  })

  test('noise does not cut one fault into several stretches', () => {
    const wobble: Shape = (f) => (f > 3000 ? -1.5 - 0.2 * Math.abs(Math.sin(40 * Math.log(f))) : 0)
    const { stretches } = verdictOf({ measurements: runOff({ max: wobble }) }).settings[0]
    expect(stretches.filter((s) => s.verdict === 'fail')).toHaveLength(1)
  })

  test('only the points inside the band are judged', () => {
    const breakpoints = [100, 5000].map((frequencyHz) => ({ frequencyHz, upperDb: 1, lowerDb: -1 }))
    const plan = planOf({ bands: ['max', 'min'].map((setting) => ({ setting, breakpoints })) })
    const judgement = verdictOf({ plan, measurements: runOff({ max: above(5100, -20) }) })
    expect(judgement.verdict).toBe('pass')
    expect(judgement.settings[0].frequencyHz[0]).toBeGreaterThanOrEqual(100)
    expect(judgement.settings[0].frequencyHz.at(-1)).toBeLessThanOrEqual(5000)
  })

  test('a curve that does not reach the ends of its band never passes', () => {
    const short = ['max', 'min'].map((setting) =>
      measurementOf({
        setting,
        shape: setting === 'max' ? maxShape : minShape,
        frequencyHz: Array.from({ length: 150 }, (_, i) => 50 * 2 ** (i / 24)),
      }),
    )
    const judgement = verdictOf({ measurements: short })
    expect(judgement.verdict).toBe('repeat')
    expect(judgement.reasons[0].message).toMatch(/use a sweep that covers the band/)
  })
})

describe('level and shape', () => {
  test('a level difference is stated, and taken out for an aligned band', () => {
    const breakpoints = [20, 20_000].map((frequencyHz) => ({ frequencyHz, upperDb: 0.5, lowerDb: -0.5 }))
    const bands = ['max', 'min'].map((setting) => ({ setting, breakpoints, compare: 'aligned' as const }))
    const judgement = verdictOf({ plan: planOf({ bands }), measurements: runOff({ max: () => 1.2 }) })
    expect(judgement.verdict).toBe('pass')
    expect(judgement.settings[0].levelDifferenceDb).toBeCloseTo(1.2, 9)
    expect(judgement.settings[0].deviationDb[9]).toBeCloseTo(1.2, 9)
    expect(judgement.settings[0].alignedDeviationDb[9]).toBeCloseTo(0, 9)
    const absolute = bands.map((b) => ({ ...b, compare: 'absolute' as const }))
    expect(verdictOf({ plan: planOf({ bands: absolute }), measurements: runOff({ max: () => 1.2 }) }).verdict).toBe(
      'fail',
    )
  })

  test('the gain at 1 kHz has a limit of its own', () => {
    const bands = ['max', 'min'].map((setting) => ({
      setting,
      compare: 'aligned' as const,
      breakpoints: [20, 20_000].map((frequencyHz) => ({ frequencyHz, upperDb: 1, lowerDb: -1 })),
    }))
    const plan = planOf({ bands, gainToleranceDb: 2 })
    const judgement = verdictOf({ plan, measurements: runOff({ min: () => 2.5 }) })
    expect(judgement.verdict).toBe('fail')
    expect(judgement.reasons[0].message).toBe(
      "At minimum the gain at 1 kHz is 2.5 dB higher than the reference's (limit 2.0 dB).",
    )
    expect(verdictOf({ plan, measurements: runOff({ min: () => 1.99 }) }).reasons[0]).toMatchObject({
      code: 'gain',
      verdict: 'repeat',
    })
  })
})

describe('uncertainty', () => {
  test('a point less certain than wanted gives no verdict, one deep in a stop-band may', () => {
    const measurements = runOff({})
    const { curve } = measurements[0]
    if (curve) curve.uncertaintyDb[100] = 0.2
    expect(verdictOf({ measurements }).reasons[0].message).toMatch(/less certain than the wanted 0\.1 dB/)
    const deep = runOff({})
    const deepCurve = deep[0].curve
    const reference = referenceBoard()
    if (deepCurve) {
      deepCurve.uncertaintyDb[239] = 0.2
      deepCurve.gainDb[239] -= 60
      reference.settings[0].curve.gainDb[239] -= 60
    }
    expect(verdictOf({ reference, measurements: deep }).verdict).toBe('pass')
  })

  test('a guard band as wide as the tolerance can never decide, and the reason says so', () => {
    const plan = planOf({ rigUncertaintyDb: 1 })
    const judgement = verdictOf({ plan, measurements: runOff({}) })
    expect(judgement.verdict).toBe('repeat')
    expect(judgement.reasons.map((r) => r.message).join(' ')).toMatch(
      /no measurement this uncertain can pass .* 1\.6\d dB/,
    )
    expect(verdictOf({ plan, measurements: runOff({ max: () => 9 }) }).verdict).toBe('fail')
  })
})

describe('recordings that prove nothing', () => {
  test('a refused recording or a missing setting is never a pass', () => {
    const [max, min] = runOff({})
    expect(verdictOf({ measurements: [max] }).reasons[0].message).toBe('At minimum there is no recording yet.')
    const refused = { ...min, usable: false, findings: [silent] }
    const judgement = verdictOf({ measurements: [max, refused] })
    expect(judgement.verdict).toBe('repeat')
    expect(judgement.reasons[0].message).toBe('At minimum the recording proves nothing: The recording is silent.')
    const asking = { ...refused, findings: [{ ...silent, message: 'Silent: is the board powered?' }] }
    expect(verdictOf({ measurements: [max, asking] }).reasons[0].message).toMatch(/powered\?$/)
    expect(judgement.settings[1]).toMatchObject({ verdict: 'repeat', frequencyHz: [], stretches: [] })
  })

  test('a refused recording never fails, whatever its curve; a sure fault elsewhere still does', () => {
    const [max, min] = runOff({ min: () => -30 })
    const refused = { ...min, usable: false, findings: [silent] }
    expect(verdictOf({ measurements: [max, refused] }).verdict).toBe('repeat')
    const [bad] = runOff({ max: () => -9 })
    const judgement = verdictOf({ measurements: [bad, refused] })
    expect(judgement.verdict).toBe('fail')
    expect(judgement.reasons.map((r) => r.verdict)).toEqual(['fail', 'fail', 'repeat'])
  })

  test('a polarity turned against the reference decides nothing', () => {
    const [max, min] = runOff({ max: () => -9 })
    const judgement = verdictOf({ measurements: [{ ...max, polarity: -1 }, min] })
    expect(judgement.verdict).toBe('repeat')
    expect(judgement.reasons).toHaveLength(1)
    expect(judgement.reasons[0].message).toMatch(/upside down .* leads/)
    const inverting = referenceBoard()
    for (const setting of inverting.settings) setting.polarity = -1
    const same = runOff({}).map((m) => ({ ...m, polarity: -1 as const }))
    expect(verdictOf({ reference: inverting, measurements: same }).verdict).toBe('pass')
  })

  test('a reference without the setting, a setting given twice', () => {
    const reference = referenceOf({ max: maxShape })
    expect(verdictOf({ reference, measurements: runOff({}) }).reasons[0].message).toMatch(/reference has no curve/)
    const [max] = runOff({})
    expect(() => verdictOf({ measurements: [max, max] })).toThrow(/two recordings for setting "max"/)
  })
})

describe('mirror of maximum and minimum', () => {
  const bands = ['max', 'min'].map((setting) => ({
    setting,
    breakpoints: [20, 20_000].map((frequencyHz) => ({ frequencyHz, upperDb: 6, lowerDb: -6 })),
  }))
  const plan = planOf({ bands, mirror: { max: 'max', min: 'min', centre: 'centre', limitDb: 1 } })

  test('a symmetrical control is flat, whatever the level of the board', () => {
    const judgement = verdictOf({ plan, measurements: runOff({ max: () => 0.8, min: () => 0.8 }) })
    expect(judgement.verdict).toBe('pass')
    expect(Math.max(...(judgement.mirror?.productDb ?? [99]).map(Math.abs))).toBeLessThan(1e-9)
  })

  test('a control that boosts and does not cut fails by it', () => {
    const judgement = verdictOf({ plan, measurements: runOff({ min: (f) => 4 / (1 + (f / 300) ** 2) }) })
    expect(judgement.mirror?.verdict).toBe('fail')
    expect(judgement.reasons[0]).toMatchObject({ code: 'mirror', verdict: 'fail' })
    expect(judgement.reasons[0].message).toMatch(/^Minimum is not the mirror of maximum: off by \+\d/)
  })

  test('takes the centre of this run before that of the reference', () => {
    const tilted: Shape = (f) => Math.log10(f / 1000)
    const centre = measurementOf({ setting: 'centre', shape: tilted })
    const off = { max: tilted, min: tilted }
    expect(verdictOf({ plan, measurements: [...runOff(off), centre] }).mirror?.verdict).toBe('pass')
    expect(verdictOf({ plan, measurements: runOff(off) }).mirror?.verdict).toBe('fail')
  })

  test('a reference of the two extremes only: its own middle stands for the centre', () => {
    const reference = referenceOf({ max: maxShape, min: minShape })
    expect(verdictOf({ plan, reference, measurements: runOff({}) }).verdict).toBe('pass')
    const cutsLess = runOff({ min: (f) => 4 / (1 + (f / 300) ** 2) })
    expect(verdictOf({ plan, reference, measurements: cutsLess }).mirror?.verdict).toBe('fail')
  })

  test('stays open without both ends', () => {
    expect(verdictOf({ plan, measurements: runOff({}).slice(0, 1) }).mirror?.verdict).toBe('repeat')
    expect(verdictOf({ plan: planOf(), measurements: runOff({}) }).mirror).toBeUndefined()
    expect(flatShape(1)).toBe(0)
  })
})

describe('distortion and noise', () => {
  const plan = planOf({ distortion: { limitPercent: 0.1, fromHz: 80, toHz: 6000 }, noise: { limitDbfs: -80 } })
  const withThd = (thdPercent: number, signalToNoiseDb = 90) =>
    runOff({}).map((m) => ({
      ...m,
      distortion: { frequencyHz: [50, 100, 8000], thdPercent: [9, thdPercent, 9], orders: {} },
      noise: { unweightedDbfs: -85, aWeightedDbfs: -90, signalToNoiseDb },
    }))
  const withNoise = (unweightedDbfs: number, findings: Finding[] = []) =>
    runOff({}).map((m) => ({ ...m, findings, noise: { unweightedDbfs, aWeightedDbfs: -99, signalToNoiseDb: 80 } }))

  test.each([
    [0.05, 90, 'pass'],
    [0.099, 90, 'repeat'],
    [0.2, 90, 'fail'],
    [0.2, 50, 'repeat'],
    [0.5, 50, 'fail'],
  ] as const)('%f %% at %f dB signal-to-noise: %s', (thd, snr, verdict) => {
    expect(verdictOf({ plan, measurements: withThd(thd, snr) }).verdict).toBe(verdict)
  })

  test('a range without a figure, or no noise reading, proves nothing', () => {
    const measurements = withThd(0.05).map((m) => ({ ...m, distortion: null }))
    expect(verdictOf({ plan, measurements }).reasons[0]).toMatchObject({ code: 'distortion', verdict: 'repeat' })
    const quiet = withThd(0.05).map((m) => ({ ...m, noise: null }))
    expect(verdictOf({ plan, measurements: quiet }).reasons[0]).toMatchObject({ code: 'noise', verdict: 'repeat' })
  })

  test.each([
    [-81, 'pass'],
    [-80, 'repeat'],
    [-79, 'fail'],
  ] as const)('noise of %f dBFS: %s', (level, verdict) => {
    expect(verdictOf({ plan, measurements: withNoise(level) }).verdict).toBe(verdict)
  })

  test('hum in the recording fails no board by its noise', () => {
    const hum: Finding = { code: 'mains-hum', severity: 'note', message: 'Hum.', remedy: 'Earth.' }
    const judgement = verdictOf({ plan, measurements: withNoise(-70, [hum]) })
    expect(judgement.verdict).toBe('repeat')
    expect(judgement.reasons[0].message).toMatch(/mains hum/)
  })
})
