import fc from 'fast-check'
import { expect, test } from 'vitest'
import { fitLinear } from '../../src/statistics/index.ts'
import nist from './data/nist-linear.json' with { type: 'json' }
import { expectNear } from './expect-near.ts'

const powers = (x: readonly number[], degree: number): number[][] =>
  Array.from({ length: degree }, (_, k) => x.map((v) => v ** (k + 1)))

// CHECKS 06-O03 and the sets Filip and Wampler5: NIST StRD linear, certified to 15 digits. Digits lost are those of the
// condition: Filip's powers are near dependence (condition 1e15) and the powers themselves are rounded.
test.each([
  { name: 'Norris', predictors: [nist.Norris.x], intercept: true, digits: 1e-12 },
  { name: 'Pontius', predictors: powers(nist.Pontius.x, 2), intercept: true, digits: 1e-12 },
  { name: 'NoInt1', predictors: [nist.NoInt1.x], intercept: false, digits: 1e-14 },
  {
    name: 'Longley',
    predictors: nist.Longley.x[0]!.map((_, j) => nist.Longley.x.map((row) => row[j]!)),
    intercept: true,
    digits: 1e-12,
  },
  { name: 'Wampler5', predictors: powers(nist.Wampler5.x, 5), intercept: true, digits: 1e-12 },
  { name: 'Filip', predictors: powers(nist.Filip.x, 10), intercept: true, digits: 1e-7 },
] as const)('NIST $name', ({ name, predictors, intercept, digits }) => {
  const set = nist[name]
  const fit = fitLinear({ response: set.y, predictors, intercept })
  const wanted = Object.values(set.coef)
  const errors = Object.values(set.coef_sd)
  expect(fit.coefficients).toHaveLength(wanted.length)
  for (const [j, coefficient] of fit.coefficients.entries()) expectNear(coefficient, wanted[j]!, digits, 0, `B${j}`)
  for (const [j, error] of fit.standardErrors.entries()) expectNear(error, errors[j]!, digits, 0, `sd B${j}`)
  expectNear(fit.residualStandardDeviation, set.rsd, digits)
  expectNear(fit.rSquared, set.r2, digits)
  expectNear(fit.f, set.reg.F, digits)
  expect(fit.degreesOfFreedom).toBe(set.res.df)
})

test('Wampler1: a polynomial with all coefficients 1 is found without residual', () => {
  const x = Array.from({ length: 21 }, (_, i) => i)
  const response = x.map((v) => 1 + v + v ** 2 + v ** 3 + v ** 4 + v ** 5)
  const fit = fitLinear({ response, predictors: powers(x, 5), intercept: true })
  for (const coefficient of fit.coefficients) expectNear(coefficient, 1, 1e-9)
  expect(fit.residualStandardDeviation).toBeLessThan(1e-6)
})

test('residuals are orthogonal to every predictor', () => {
  fc.assert(
    fc.property(
      fc.array(fc.tuple(...Array.from({ length: 3 }, () => fc.double({ min: -10, max: 10, noNaN: true }))), {
        minLength: 8,
        maxLength: 20,
      }),
      (rows) => {
        // Two fixed wiggles make sure that the predictors do not depend on each other.
        const a = rows.map((row, i) => row[0]! + 30 * Math.cos(i))
        const b = rows.map((row, i) => row[1]! + 30 * Math.sin(2.3 * i))
        const { residuals } = fitLinear({ response: rows.map((row) => row[2]!), predictors: [a, b], intercept: true })
        for (const column of [a, b, a.map(() => 1)]) {
          const dot = residuals.reduce((sum, r, i) => sum + r * column[i]!, 0)
          expect(Math.abs(dot)).toBeLessThan(1e-9)
        }
      },
    ),
  )
})

test('bad models are refused', () => {
  const x = [1, 2, 3, 4, 5]
  expect(() => fitLinear({ response: x, predictors: [x, x.map((v) => 2 * v)], intercept: true })).toThrow(/Column 3/)
  expect(() => fitLinear({ response: x, predictors: [[1, 2]], intercept: true })).toThrow(/as many values/)
  expect(() => fitLinear({ response: [1, 2], predictors: [[1, 2]], intercept: true })).toThrow(/more values/)
})
