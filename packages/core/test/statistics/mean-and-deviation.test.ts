import fc from 'fast-check'
import { expect, test } from 'vitest'
import { autocorrelation, mean, sampleQuantile, summarise } from '../../src/statistics/index.ts'
import nist from './data/nist-univariate.json' with { type: 'json' }
import { expectNear } from './expect-near.ts'

// CHECKS 06-O01: NIST StRD univariate, certified to 15 digits. NumAcc4 has 8 leading digits in common: its readings are
// themselves rounded to 1e-9 of their spread, which bounds what any method can give.
const digits = { Michelso: 1e-13, Lew: 1e-14, NumAcc1: 1e-14, NumAcc2: 1e-13, NumAcc4: 1e-7 }

test.each(Object.entries(digits))('NIST %s: mean, standard deviation, lag-1 autocorrelation', (name, relative) => {
  const set = nist[name as keyof typeof digits]
  const summary = summarise(set.y)
  expect(summary.count).toBe(set.n)
  expectNear(summary.mean, set.mean, 1e-15)
  expectNear(mean(set.y), set.mean, 1e-15)
  expectNear(summary.standardDeviation, set.sd, relative)
  expectNear(autocorrelation({ values: set.y, lag: 1 }), set.r1, relative)
})

test('NIST NumAcc3, whose values follow from its description: 1000000.2, then 1000000.1 and 1000000.3 by turns', () => {
  const values = [1000000.2, ...Array.from({ length: 1000 }, (_, i) => (i % 2 === 0 ? 1000000.1 : 1000000.3))]
  expectNear(summarise(values).mean, 1000000.2, 1e-15)
  expectNear(summarise(values).standardDeviation, 0.1, 1e-8)
  expectNear(autocorrelation({ values, lag: 1 }), -0.999, 1e-8)
})

test('an autocorrelation at lag 0 is 1, and of an alternating sequence alternates', () => {
  const values = Array.from({ length: 40 }, (_, i) => (i % 2 === 0 ? 1 : -1))
  expectNear(autocorrelation({ values, lag: 0 }), 1, 1e-15)
  // 40 - lag products of -1 or 1, over 40.
  expectNear(autocorrelation({ values, lag: 3 }), -37 / 40, 1e-15)
})

test('standard deviation: not changed by a shift, scaled by a factor', () => {
  fc.assert(
    fc.property(
      fc.array(fc.double({ min: -100, max: 100, noNaN: true }), { minLength: 2, maxLength: 50 }),
      fc.integer({ min: -1000, max: 1000 }),
      fc.integer({ min: -6, max: 6 }),
      (values, shift, power) => {
        const s = summarise(values).standardDeviation
        expectNear(summarise(values.map((x) => x + shift)).standardDeviation, s, 1e-10, 1e-11)
        // Deviations below 1e-154 have no square in a double.
        expectNear(summarise(values.map((x) => x * 2 ** power)).standardDeviation, s * 2 ** power, 1e-13, 1e-150)
      },
    ),
  )
})

// numpy 2.4.6: np.quantile([15, 20, 35, 40, 50, 12, 77], p, method=...), p = 0.1, 0.4, 0.75.
test.each([
  ['inverse-cdf', [12, 20, 50]],
  ['hazen', [12.6, 24.5, 47.5]],
  ['weibull', [12, 23, 50]],
  ['linear', [13.8, 26, 45]],
  ['median-unbiased', [12.2, 24, 48.33333333333333]],
  ['normal-unbiased', [12.3, 24.125, 48.125]],
] as const)('quantiles by the %s method', (method, wanted) => {
  const values = [15, 20, 35, 40, 50, 12, 77]
  const got = [0.1, 0.4, 0.75].map((probability) => sampleQuantile({ values, probability, method }))
  for (const [i, value] of got.entries()) expectNear(value, wanted[i]!, 1e-14, 0, method)
  expect(sampleQuantile({ values, probability: 0, method })).toBe(12)
  expect(sampleQuantile({ values, probability: 1, method })).toBe(77)
})

test('what is no sample is refused', () => {
  expect(() => summarise([1])).toThrow(/at least 2 values/)
  expect(() => mean([])).toThrow(/at least 1 values/)
  expect(() => summarise([1, Number.NaN, 3])).toThrow(/finite/)
  expect(() => autocorrelation({ values: [2, 2, 2], lag: 1 })).toThrow(/differ/)
  expect(() => sampleQuantile({ values: [1], probability: 1.1, method: 'linear' })).toThrow(/0 to 1/)
})
