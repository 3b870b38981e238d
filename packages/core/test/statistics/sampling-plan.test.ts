import { expect, test } from 'vitest'
import * as s from '../../src/statistics/index.ts'
import { expectNear } from './expect-near.ts'

// Rejection numbers of MIL-STD-105E single plans at AQL 0.65, 1.0, 1.5, 2.5, 4.0, 6.5, 10, 15, as printed in a guide that
// was made from its tables I and II-A (nibs.org, "AC-TABLE.ASC"); v and ^ stand for its arrows, cells left to the shaft
// of an arrow are written as that arrow.
const limits = [0.65, 1, 1.5, 2.5, 4, 6.5, 10, 15]
const normal = [
  { lotSize: 30, letter: 'D', size: 8, row: 'v v 1 ^ v 2 3 4' },
  { lotSize: 60, letter: 'E', size: 13, row: 'v 1 ^ v 2 3 4 6' },
  { lotSize: 100, letter: 'F', size: 20, row: '1 ^ v 2 3 4 6 8' },
  { lotSize: 200, letter: 'G', size: 32, row: '^ v 2 3 4 6 8 11' },
  { lotSize: 400, letter: 'H', size: 50, row: 'v 2 3 4 6 8 11 15' },
  { lotSize: 1200, letter: 'J', size: 80, row: '2 3 4 6 8 11 15 22' },
  { lotSize: 1201, letter: 'K', size: 125, row: '3 4 6 8 11 15 22 ^' },
  { lotSize: 10000, letter: 'L', size: 200, row: '4 6 8 11 15 22 ^ ^' },
  { lotSize: 35000, letter: 'M', size: 315, row: '6 8 11 15 22 ^ ^ ^' },
  { lotSize: 150000, letter: 'N', size: 500, row: '8 11 15 22 ^ ^ ^ ^' },
  { lotSize: 500000, letter: 'P', size: 800, row: '11 15 22 ^ ^ ^ ^ ^' },
  { lotSize: 500001, letter: 'Q', size: 1250, row: '15 22 ^ ^ ^ ^ ^ ^' },
]
// The same guide, from table II-B; rows F to L.
const tightened = [
  { lotSize: 100, letter: 'F', size: 20, row: 'v 1 v v 2 3 4 6' },
  { lotSize: 200, letter: 'G', size: 32, row: '1 v v 2 3 4 6 9' },
  { lotSize: 400, letter: 'H', size: 50, row: 'v v 2 3 4 6 9 13' },
  { lotSize: 1200, letter: 'J', size: 80, row: 'v 2 3 4 6 9 13 19' },
  { lotSize: 3200, letter: 'K', size: 125, row: '2 3 4 6 9 13 19 ^' },
  { lotSize: 10000, letter: 'L', size: 200, row: '3 4 6 9 13 19 ^ ^' },
]

test.each([
  ...normal.map((line) => ({ ...line, severity: 'normal' as const })),
  ...tightened.map((line) => ({ ...line, severity: 'tightened' as const })),
])('$severity, letter $letter: rejection numbers and arrows', ({ lotSize, letter, size, row, severity }) => {
  for (const [i, cell] of row.split(' ').entries()) {
    const plan = s.samplingPlan({ lotSize, level: 'II', acceptanceQualityLimit: limits[i]!, severity })
    if (cell === 'v') expect(plan.sampleSize, `at ${limits[i]}`).toBeGreaterThan(size)
    else if (cell === '^') expect(plan.sampleSize, `at ${limits[i]}`).toBeLessThan(size)
    else {
      expect(plan, `at ${limits[i]}`).toEqual({
        codeLetter: letter,
        sampleSize: size,
        acceptanceNumber: Number(cell) - 1,
        inspectAll: size >= lotSize,
      })
    }
  }
})

test('code letters of general level II, as in the same guide, and the order of the levels', () => {
  const sizes = [2, 9, 16, 26, 51, 91, 151, 281, 501, 1201, 3201, 10001, 35001, 150001, 500001]
  expect(sizes.map((lotSize) => s.samplingCodeLetter({ lotSize, level: 'II' })).join('')).toBe('ABCDEFGHJKLMNPQ')
  const levels = ['S-1', 'S-2', 'S-3', 'S-4', 'I', 'II', 'III'] as const
  for (const lotSize of sizes) {
    const letters = levels.map((level) => s.samplingCodeLetter({ lotSize, level }))
    expect(letters.toSorted()).toEqual(letters)
  }
})

test('arrows lead to the plan they point at', () => {
  const plan = (lotSize: number, acceptanceQualityLimit: number) =>
    s.samplingPlan({ lotSize, level: 'II', acceptanceQualityLimit, severity: 'normal' })
  // Letter G at 0.65: up to F (20, none); letter G at 1.0: down to H (50, 1).
  expect(plan(200, 0.65)).toMatchObject({ codeLetter: 'F', sampleSize: 20, acceptanceNumber: 0 })
  expect(plan(200, 1)).toMatchObject({ codeLetter: 'H', sampleSize: 50, acceptanceNumber: 1 })
  // A small lot at a strict limit: down to a sample of 125, more than there are.
  expect(plan(40, 0.1)).toMatchObject({ sampleSize: 40, acceptanceNumber: 0, inspectAll: true })
})

test('at the end of the tightened table the arrow turns: letter R at 0.015 takes Q (1250, none)', () => {
  // Found by trying out the whole table (below): no plan lies further down.
  const request = { lotSize: 500_001, level: 'III', severity: 'tightened' } as const
  const wanted = { codeLetter: 'Q', sampleSize: 1250, acceptanceNumber: 0 }
  expect(s.samplingPlan({ ...request, acceptanceQualityLimit: 0.015 })).toMatchObject(wanted)
  expect(s.samplingPlan({ ...request, acceptanceQualityLimit: 0.025 })).toMatchObject({
    codeLetter: 'S',
    acceptanceNumber: 1,
  })
})

test('every lot, level and limit has a plan, tried out whole; at its limit a plan accepts in most cases', () => {
  const lotSizes = [2, 8, 9, 25, 50, 90, 150, 280, 500, 1200, 3200, 10_000, 35_000, 150_000, 500_000, 500_001]
  const levels = ['S-1', 'S-2', 'S-3', 'S-4', 'I', 'II', 'III'] as const
  let least = 1
  for (const [lotSize, level] of lotSizes.flatMap((size) => levels.map((l) => [size, l] as const))) {
    for (const acceptanceQualityLimit of s.acceptanceQualityLimits) {
      const request = { lotSize, level, acceptanceQualityLimit }
      const plan = s.samplingPlan({ ...request, severity: 'normal' })
      const stricter = s.samplingPlan({ ...request, severity: 'tightened' })
      expect(plan.sampleSize).toBeLessThanOrEqual(lotSize)
      if (acceptanceQualityLimit > 10 || plan.inspectAll || stricter.inspectAll) continue
      const atLimit = s.processAcceptance({ ...plan, shareBad: acceptanceQualityLimit / 100 })
      least = Math.min(least, atLimit)
      // Tightened inspection never accepts a bad process more readily.
      const bad = (3 * acceptanceQualityLimit) / 100
      const accepted = s.processAcceptance({ ...plan, shareBad: bad })
      expect(s.processAcceptance({ ...stricter, shareBad: bad })).toBeLessThanOrEqual(accepted + 1e-12)
    }
  }
  // The standard's plans accept about 88 % or more at the limit (common knowledge of its curves, from memory).
  expect(least).toBeGreaterThan(0.85)
})

test('operating characteristic: 5 of 100 bad, 10 tried, none allowed, by hand', () => {
  // (95 x 94 x ... x 86) / (100 x 99 x ... x 91)
  let byHand = 1
  for (let i = 0; i < 10; i++) byHand *= (95 - i) / (100 - i)
  expectNear(s.lotAcceptance({ lotSize: 100, bad: 5, sampleSize: 10, acceptanceNumber: 0 }), byHand, 1e-13)
  expectNear(s.processAcceptance({ sampleSize: 10, acceptanceNumber: 0, shareBad: 0.05 }), 0.95 ** 10, 1e-13)
})

test('the lot curve is below the binomial for bad lots, equal in the limit of large lots, and falls with the bad ones', () => {
  const plan = { sampleSize: 20, acceptanceNumber: 1 }
  const large = s.lotAcceptance({ ...plan, lotSize: 1_000_000, bad: 50_000 })
  expectNear(large, s.processAcceptance({ ...plan, shareBad: 0.05 }), 1e-4)
  let last = 1
  for (let bad = 0; bad <= 60; bad++) {
    const here = s.lotAcceptance({ ...plan, lotSize: 60, bad })
    expect(here).toBeLessThanOrEqual(last + 1e-13)
    last = here
  }
  expect(last).toBe(0)
})

test('share accepted with a given chance undoes the curve', () => {
  const plan = { sampleSize: 32, acceptanceNumber: 2 }
  for (const probability of [0.95, 0.5, 0.1]) {
    const shareBad = s.shareAcceptedWith({ ...plan, probability })
    expectNear(s.processAcceptance({ ...plan, shareBad }), probability, 1e-11)
  }
  expectNear(
    s.shareAcceptedWith({ sampleSize: 59, acceptanceNumber: 0, probability: 0.05 }),
    1 - 0.05 ** (1 / 59),
    1e-12,
  )
  expect(s.shareAcceptedWith({ sampleSize: 3, acceptanceNumber: 3, probability: 0.5 })).toBe(1)
})

test('bad requests are refused', () => {
  const request = { lotSize: 100, level: 'II', acceptanceQualityLimit: 1, severity: 'normal' } as const
  expect(() => s.samplingPlan({ ...request, acceptanceQualityLimit: 1.1 })).toThrow(/1.1 is not a preferred/)
  expect(() => s.samplingPlan({ ...request, lotSize: 1 })).toThrow(/at least 2/)
  expect(() => s.samplingPlan({ ...request, level: 'IV' as 'II' })).toThrow(/IV/)
  expect(() => s.lotAcceptance({ lotSize: 5, bad: 6, sampleSize: 2, acceptanceNumber: 0 })).toThrow(/outnumber/)
})
