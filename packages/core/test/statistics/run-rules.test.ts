import fc from 'fast-check'
import { expect, test } from 'vitest'
import { type RunRule, runRules, runSignals } from '../../src/statistics/index.ts'

/** Completing points counted from one, as the sources do. */
const found = (rule: RunRule, values: readonly number[]): number[] =>
  runSignals({ values, centre: 0, standardDeviation: 1, rules: [rule] }).map((signal) => signal.index + 1)

const repeat = (value: number, times: number): number[] => Array.from({ length: times }, () => value)

// CHECKS 06-O11: Western Electric handbook 1956; vectors and indices as in the tests of the R library qcc.
test.each([
  ['western-electric-1', [0, 3.2, -3.5, 2.9], [2, 3]],
  ['western-electric-2', [0, 2.5, 1, 2.6, 0], [4]],
  ['western-electric-3', [0, 1.2, 1.3, 0.2, 1.4, 1.5], [6]],
  ['western-electric-4', [...repeat(-1, 8), 1], [8]],
  // CHECKS 06-O12: Nelson 1984; same source.
  ['nelson-1', [0, 3.2, -3.4, 3], [2, 3]],
  ['nelson-2', [...repeat(0.5, 10), ...repeat(-0.5, 10)], [9, 10, 19, 20]],
  ['nelson-3', [1, 2, 3, 4, 5, 6, 7, 7, 6, 5, 4, 3, 2, 1], [6, 7, 13, 14]],
  ['nelson-5', [0, 2.3, 0.4, 2.2, -2.4, -0.2, -2.5], [4, 7]],
  ['nelson-7', [...repeat(0.3, 16), 1.2], [15, 16]],
  // By hand, from Nelson's wording.
  ['nelson-4', Array.from({ length: 15 }, (_, i) => (i % 2 === 0 ? 0.2 : -0.1)), [14, 15]],
  ['nelson-4', [...Array.from({ length: 13 }, (_, i) => (i % 2 === 0 ? 1 : 0)), 1, 0], []],
  ['nelson-6', [1.1, 1.2, -3, 1.3, 1.4, 0.9], [5]],
  ['nelson-8', [1.2, -1.3, 1.4, -1.5, 1.6, 1.7, -1.2, 1.1, 0.5], [8]],
  ['nelson-8', repeat(1.2, 9), []],
] as const)('%s', (rule, values, wanted) => {
  expect(found(rule, values)).toEqual(wanted)
})

test('limits are strict: a point exactly at a zone limit is not beyond it', () => {
  expect(found('western-electric-1', [3, -3])).toEqual([])
  expect(found('western-electric-2', [2, 2, 2])).toEqual([])
  expect(found('nelson-7', repeat(1, 20))).toEqual([])
  expect(found('western-electric-4', repeat(0, 20))).toEqual([])
})

test('two of three is found as soon as two are there, four of five with four', () => {
  expect(found('western-electric-2', [2.1, 2.2])).toEqual([2])
  expect(found('nelson-6', repeat(1.1, 4))).toEqual([4])
  expect(found('nelson-5', [2.1, -2.2, 0])).toEqual([])
})

test('signals mirror with the values, except that none needs a side', () => {
  const point = fc.double({ min: -4, max: 4, noNaN: true })
  fc.assert(
    fc.property(fc.array(point, { maxLength: 60 }), (values) => {
      const rules = [...runRules.nelson, ...runRules.westernElectric]
      const here = runSignals({ values, centre: 0, standardDeviation: 1, rules })
      const there = runSignals({ values: values.map((v) => -v), centre: 0, standardDeviation: 1, rules })
      expect(there).toEqual(here)
    }),
  )
})

test('a false alarm of eight or nine on one side by chance: 2 x 2^-n per point, counted over all patterns of signs', () => {
  for (const [rule, n] of [
    ['western-electric-4', 8],
    ['nelson-2', 9],
  ] as const) {
    let count = 0
    for (let bits = 0; bits < 2 ** n; bits++) {
      const values = Array.from({ length: n }, (_, i) => ((bits >> i) & 1 ? 0.5 : -0.5))
      count += found(rule, values).length
    }
    expect(count).toBe(2)
  }
})

test('an unknown rule, no spread and no number are refused', () => {
  const values = [1, 2]
  const rules = ['nelson-9' as RunRule]
  expect(() => runSignals({ values, centre: 0, standardDeviation: 1, rules })).toThrow(/nelson-9/)
  expect(() => runSignals({ values, centre: 0, standardDeviation: 0, rules: [] })).toThrow(/greater than 0/)
  expect(() => runSignals({ values: [Number.NaN], centre: 0, standardDeviation: 1, rules: [] })).toThrow(/finite/)
})
