import { expect, test } from 'vitest'
import * as s from '../../src/statistics/index.ts'
import table from './data/abx-binomial.json' with { type: 'json' }
import { expectNear } from './expect-near.ts'
import { normalSource } from './random.ts'

test.each(table.rows)('CHECKS 10-O01: $correct of $trials by guessing', ({ trials, correct, p_at_least }) => {
  expectNear(s.abxProbability({ correct, trials }), p_at_least, 1e-11)
})

test('CHECKS 10-O01: 12 of 16 is 2517 / 65536', () => {
  expectNear(s.abxProbability({ correct: 12, trials: 16 }), 2517 / 65536, 1e-14)
  expect(s.abxProbability({ correct: 0, trials: 9 })).toBe(1)
})

test.each([
  [8, 7, 8],
  [10, 9, 10],
  [12, 10, 11],
  [16, 12, 14],
  [20, 15, 16],
  [25, 18, 19],
])('CHECKS 10-O02: smallest significant count of %d trials', (trials, five, one) => {
  expect(s.abxCriticalCount({ trials, alpha: 0.05 })).toBe(five)
  expect(s.abxCriticalCount({ trials, alpha: 0.01 })).toBe(one)
})

test('too few trials can not be significant; a chance of exactly alpha is enough', () => {
  expect(s.abxCriticalCount({ trials: 4, alpha: 0.05 })).toBeUndefined()
  expect(s.abxCriticalCount({ trials: 4, alpha: 1 / 16 })).toBe(4)
})

test.each([
  [0.6, 0.16656738435],
  [0.7, 0.44990411982],
  [0.8, 0.79824544177],
  [0.9, 0.98299600172],
])('CHECKS 10-O03: power of 16 trials at 12 for a listener right in %d', (shareCorrect, power) => {
  expectNear(s.abxPower({ trials: 16, criterion: 12, shareCorrect }), power, 1e-10)
})

test('CHECKS 10-O04: yes-no sensitivity', () => {
  const even = s.yesNoSensitivity({ hitRate: 0.8, falseAlarmRate: 0.2 })
  expectNear(even.dPrime, 1.6832424671, 1e-10)
  expectNear(even.criterion, 0, 0, 1e-14)
  // A listener who says yes too often has a negative criterion.
  expect(s.yesNoSensitivity({ hitRate: 0.9, falseAlarmRate: 0.4 }).criterion).toBeLessThan(0)
})

/** Right answers of a listener who hears A at 0 and B at d', each with noise 1. */
function simulateAbx(dPrime: number, differencing: boolean, normal: () => number): number {
  const rounds = 200_000
  let correct = 0
  for (let i = 0; i < rounds; i++) {
    const swap = i % 2 === 0
    const a = (swap ? dPrime : 0) + normal()
    const b = (swap ? 0 : dPrime) + normal()
    const isA = i % 4 < 2
    const x = (isA === swap ? dPrime : 0) + normal()
    const saysA = differencing ? Math.abs(x - a) < Math.abs(x - b) : a > b === x > dPrime / 2
    if (saysA === isA) correct++
  }
  return correct / rounds
}

test.each(['independent', 'differencing'] as const)(
  'A/B/X share correct, %s, against a simulated listener',
  (model) => {
    const normal = normalSource(5)
    for (const dPrime of [0.8, 2]) {
      const simulated = simulateAbx(dPrime, model === 'differencing', normal)
      // 200,000 answers know a share to 0.0011; four of them.
      expectNear(s.abxShareCorrect({ dPrime, model }), simulated, 0, 0.0045)
    }
    expectNear(s.abxShareCorrect({ dPrime: 0, model }), 0.5, 1e-14)
    expectNear(s.abxShareCorrect({ dPrime: s.abxSensitivity({ shareCorrect: 0.83, model }), model }), 0.83, 1e-12)
  },
)

test('impossible scores are refused; a score of chance or less is no sensitivity', () => {
  expect(s.abxSensitivity({ shareCorrect: 0.45, model: 'independent' })).toBe(0)
  expect(() => s.abxProbability({ correct: 6, trials: 5 })).toThrow(/more correct/)
  expect(() => s.abxProbability({ correct: 1, trials: 0 })).toThrow(/at least 1/)
  expect(() => s.abxCriticalCount({ trials: 10, alpha: 0 })).toThrow(/between 0 and 1/)
  expect(() => s.yesNoSensitivity({ hitRate: 1, falseAlarmRate: 0.1 })).toThrow(/between 0 and 1/)
})
