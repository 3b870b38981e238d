import { guardBandDb, judge } from '@boardwright/core'
import { describe, expect, test } from 'vitest'
import { decideValue } from '../../src/response/judge/judge-guard.ts'
import { normalProbability } from '../../src/statistics/normal.ts'
import { flatShape, measurementOf, planOf, referenceOf } from './judge-fixture.ts'
import { normalDraws } from './seeded-noise.ts'

describe('conformance of JCGM 106', () => {
  // Factor of table 1 for 95 %: 1.644853627 (shared check 06-O26); 0.03 and 0.04 make 0.05.
  test('the guard band is the factor times the root sum of squares', () => {
    expect(guardBandDb({ confidence: 0.95, uncertaintiesDb: [0.03, 0.04] })).toBeCloseTo(1.644853627 * 0.05, 9)
    expect(guardBandDb({ confidence: 0.5, uncertaintiesDb: [0.03] })).toBe(0)
    expect(() => guardBandDb({ confidence: 1, uncertaintiesDb: [0.03] })).toThrow(/probability/)
  })

  test('a decision is symmetrical, and its limits belong to the inside when there is no guard band', () => {
    const limits = { lowerDb: -0.5, upperDb: 0.5 }
    expect(decideValue({ valueDb: 0.5, ...limits, guardDb: 0 }).verdict).toBe('pass')
    expect(decideValue({ valueDb: 0.501, ...limits, guardDb: 0 }).verdict).toBe('fail')
    for (const [valueDb, verdict] of [
      [0.35, 'pass'],
      [0.45, 'repeat'],
      [0.55, 'repeat'],
      [0.65, 'fail'],
    ] as const) {
      expect(decideValue({ valueDb, ...limits, guardDb: 0.1 }).verdict).toBe(verdict)
      expect(decideValue({ valueDb: -valueDb, ...limits, guardDb: 0.1 }).verdict).toBe(verdict)
    }
    expect(decideValue({ valueDb: Number.NaN, ...limits, guardDb: 0.1 }).verdict).toBe('repeat')
  })
})

describe('risks of the whole judge', () => {
  // Shared check 06-O27, JCGM 106:2012 clause 9: true deviation N(0, 0.25 dB), measurement u = 0.06 dB, limits +-0.5 dB.
  // The judge sees curves whose every point is off by the same amount, so that a curve is one measurement.
  const expected = [
    { z: 0, accepted: 0.94819788805, consumer: 0.0077718354932, producer: 0.014073683549 },
    { z: 2, accepted: 0.86059990321, consumer: 0.00018800862575, producer: 0.094087841524 },
  ]
  test.each(expected)('global consumer and producer risk with a guard band of $z u', ({ z, ...risk }) => {
    const frequencyHz = [400, 1000, 2500]
    const breakpoints = [400, 2500].map((f) => ({ frequencyHz: f, upperDb: 0.5, lowerDb: -0.5 }))
    const plan = planOf({
      settings: ['centre'],
      bands: [{ setting: 'centre', breakpoints }],
      gainToleranceDb: 0.5,
      rigUncertaintyDb: 0,
      confidence: normalProbability({ z }),
    })
    const reference = referenceOf({ centre: flatShape }, 0)
    const draw = normalDraws(20_260 + z)
    const trials = 30_000
    let accepted = 0
    let consumer = 0
    let producer = 0
    for (let k = 0; k < trials; k++) {
      const truth = 0.25 * draw()
      const measured = truth + 0.06 * draw()
      const shape = () => measured
      const measurements = [measurementOf({ setting: 'centre', shape, uncertaintyDb: 0.06, frequencyHz })]
      const passed = judge({ plan, reference, measurements }).verdict === 'pass'
      const good = Math.abs(truth) <= 0.5
      if (passed) accepted++
      if (passed && !good) consumer++
      if (!passed && good) producer++
    }
    // Four standard errors of a binomial count: one run in 16,000 would miss by chance, and the seed is fixed.
    const near = (count: number, p: number) =>
      expect(Math.abs(count / trials - p)).toBeLessThan(4 * Math.sqrt((p * (1 - p)) / trials))
    near(accepted, risk.accepted)
    near(consumer, risk.consumer)
    near(producer, risk.producer)
  })
})
