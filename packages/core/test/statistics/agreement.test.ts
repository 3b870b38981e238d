import { expect, test } from 'vitest'
import * as s from '../../src/statistics/index.ts'
import { expectNear } from './expect-near.ts'

test('CHECKS 06-O28: kappa of [[20, 5], [10, 15]]', () => {
  const kappa = s.cohenKappa({
    table: [
      [20, 5],
      [10, 15],
    ],
    confidence: 0.95,
  })
  expectNear(kappa.observed, 0.7, 1e-14)
  expectNear(kappa.expected, 0.5, 1e-14)
  expectNear(kappa.kappa, 0.4, 1e-13)
})

/** Kappa of shares, written again for the test. */
function kappaOf(shares: readonly (readonly number[])[]): number {
  const total = shares.flat().reduce((a, b) => a + b, 0)
  let observed = 0
  let expected = 0
  for (let i = 0; i < shares.length; i++) {
    observed += shares[i]![i]! / total
    const row = shares[i]!.reduce((a, b) => a + b, 0) / total
    const column = shares.reduce((sum, r) => sum + r[i]!, 0) / total
    expected += row * column
  }
  return (observed - expected) / (1 - expected)
}

test('standard error of kappa against the delta method with numerical slopes', () => {
  const table = [
    [31, 6, 2],
    [4, 22, 7],
    [1, 5, 18],
  ]
  const n = table.flat().reduce((a, b) => a + b, 0)
  const slopes = table.map((row, i) =>
    row.map((_, j) => {
      const step = 1e-4
      const moved = (by: number) => table.map((r, a) => r.map((x, b) => x / n + (a === i && b === j ? by : 0)))
      return (kappaOf(moved(step)) - kappaOf(moved(-step))) / (2 * step)
    }),
  )
  const mean = table.reduce((sum, row, i) => sum + row.reduce((a, x, j) => a + (x / n) * slopes[i]![j]!, 0), 0)
  const square = table.reduce((sum, row, i) => sum + row.reduce((a, x, j) => a + (x / n) * slopes[i]![j]! ** 2, 0), 0)
  const kappa = s.cohenKappa({ table, confidence: 0.95 })
  expectNear(kappa.standardError, Math.sqrt((square - mean ** 2) / n), 1e-6)
  expectNear(kappa.kappa, kappaOf(table), 1e-13)
  expectNear(kappa.kappa - kappa.lower, 1.959963985 * kappa.standardError, 1e-9)
})

test('full agreement gives 1, agreement as by chance gives 0', () => {
  const full = s.cohenKappa({
    table: [
      [7, 0],
      [0, 3],
    ],
    confidence: 0.9,
  })
  expect([full.kappa, full.standardError, full.upper]).toEqual([1, 0, 1])
  expectNear(
    s.cohenKappa({
      table: [
        [6, 4],
        [3, 2],
      ],
      confidence: 0.9,
    }).kappa,
    0,
    0,
    1e-14,
  )
})

test('CHECKS 06-O29: limits of agreement, Bland and Altman 1986', () => {
  const agreement = s.agreementLimits({
    first: [1, 2.1, 3, 4.2, 5.1],
    second: [1.1, 1.9, 3.3, 4, 5.4],
    confidence: 0.95,
  })
  expectNear(agreement.bias, -0.06, 1e-12)
  expectNear(agreement.standardDeviation, 0.25099800796, 1e-10)
  expectNear(agreement.limits.lower, -0.5519560956, 1e-9)
  expectNear(agreement.limits.upper, 0.4319560956, 1e-9)
  // t(0.975; 4) = 2.776445 (table); bias and limits have standard errors s / sqrt 5 and s sqrt(1/5 + 1.96^2 / 8).
  expectNear(agreement.biasInterval.upper, -0.06 + (2.776445 * 0.250998) / Math.sqrt(5), 1e-5)
  const reach = 2.776445 * 0.250998 * Math.sqrt(0.2 + 1.96 ** 2 / 8)
  expectNear(agreement.upperLimitInterval.upper, 0.4319560956 + reach, 1e-5)
  expectNear(agreement.lowerLimitInterval.lower, -0.5519560956 - reach, 1e-5)
})

test('what can not be compared is refused', () => {
  expect(() => s.cohenKappa({ table: [[1, 2]], confidence: 0.9 })).toThrow(/square/)
  expect(() =>
    s.cohenKappa({
      table: [
        [5, 0],
        [0, 0],
      ],
      confidence: 0.9,
    }),
  ).toThrow(/more than one kind/)
  expect(() =>
    s.cohenKappa({
      table: [
        [5, -1],
        [0, 2],
      ],
      confidence: 0.9,
    }),
  ).toThrow(/0 or more/)
  expect(() => s.agreementLimits({ first: [1, 2], second: [1, 2, 3], confidence: 0.9 })).toThrow(/two readings/)
})
