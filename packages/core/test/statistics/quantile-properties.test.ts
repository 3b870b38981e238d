import fc from 'fast-check'
import { expect, test } from 'vitest'
import * as s from '../../src/statistics/index.ts'
import { expectNear } from './expect-near.ts'

const probability = fc.double({ min: 1e-6, max: 1 - 1e-6, noNaN: true })
const degrees = fc.double({ min: 0.5, max: 400, noNaN: true })

/** The quantile function undoes the probability function, in both tails. */
function undoes(
  quantile: (probability: number, tail: 'lower' | 'upper') => number,
  tailOf: (x: number, tail: 'lower' | 'upper') => number,
  p: number,
): void {
  for (const tail of ['lower', 'upper'] as const) expectNear(tailOf(quantile(p, tail), tail), p, 1e-11)
}

test('quantile and probability undo each other', () => {
  fc.assert(
    fc.property(probability, degrees, degrees, (p, a, b) => {
      undoes(
        (probability, tail) => s.normalQuantile({ probability, tail }),
        (z, tail) => s.normalProbability({ z, tail }),
        p,
      )
      undoes(
        (probability, tail) => s.chiSquareQuantile({ probability, degreesOfFreedom: a, tail }),
        (x, tail) => s.chiSquareProbability({ x, degreesOfFreedom: a, tail }),
        p,
      )
      undoes(
        (probability, tail) => s.studentTQuantile({ probability, degreesOfFreedom: a, tail }),
        (t, tail) => s.studentTProbability({ t, degreesOfFreedom: a, tail }),
        p,
      )
      const degreesOfFreedom = { numerator: a, denominator: b }
      undoes(
        (probability, tail) => s.fQuantile({ probability, degreesOfFreedom, tail }),
        (f, tail) => s.fProbability({ f, degreesOfFreedom, tail }),
        p,
      )
    }),
    { numRuns: 150 },
  )
})

test('the quantile of a count is the first that reaches the level', () => {
  fc.assert(
    fc.property(probability, fc.double({ min: 0.01, max: 200, noNaN: true }), (p, mean) => {
      const k = s.poissonQuantile({ mean, probability: p })
      expect(s.poissonTails({ mean, count: k }).lower).toBeGreaterThanOrEqual(p * (1 - 1e-13))
      if (k > 0) expect(s.poissonTails({ mean, count: k - 1 }).lower).toBeLessThan(p)
    }),
  )
})

test('cumulative probabilities are sums of single ones', () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 60 }), fc.double({ min: 0.01, max: 0.99, noNaN: true }), (trials, chance) => {
      let sum = 0
      for (let count = 0; count <= trials; count++) {
        sum += s.binomialDensity({ trials, chance, count })
        expectNear(s.binomialTails({ trials, chance, count }).lower, sum, 1e-12)
      }
      expectNear(sum, 1, 1e-13)
      const size = chance * 7
      let total = 0
      for (let count = 0; count <= trials; count++) {
        total += s.negativeBinomialDensity({ mean: 3, size, count })
        expectNear(s.negativeBinomialTails({ mean: 3, size, count }).lower, total, 1e-12)
      }
    }),
    { numRuns: 40 },
  )
})

test('known relations: t squared is F, chi-square with 2 degrees is exponential, t with 1 degree is Cauchy', () => {
  fc.assert(
    fc.property(fc.double({ min: 0.01, max: 50, noNaN: true }), degrees, (x, nu) => {
      expectNear(
        2 * s.studentTProbability({ t: x, degreesOfFreedom: nu, tail: 'upper' }),
        s.fProbability({ f: x * x, degreesOfFreedom: { numerator: 1, denominator: nu }, tail: 'upper' }),
        1e-11,
      )
      expectNear(s.chiSquareProbability({ x, degreesOfFreedom: 2, tail: 'upper' }), Math.exp(-x / 2), 1e-12)
      const cauchy = Math.atan2(1, x) / Math.PI
      expectNear(s.studentTProbability({ t: x, degreesOfFreedom: 1, tail: 'upper' }), cauchy, 1e-12)
    }),
  )
})

test('a non-central t without shift is Student t; its quantile undoes its probability', () => {
  for (const t of [-2, 0.3, 5]) {
    const law = { t, degreesOfFreedom: 7, nonCentrality: 0 }
    expectNear(s.nonCentralTProbability(law), s.studentTProbability(law), 1e-12)
  }
  for (const probability of [0.05, 0.5, 0.99]) {
    const law = { degreesOfFreedom: 11, nonCentrality: 3.2 }
    const t = s.nonCentralTQuantile({ ...law, probability })
    expectNear(s.nonCentralTProbability({ ...law, t }), probability, 1e-11)
    expectNear(s.nonCentralTQuantile({ ...law, probability: 1 - probability, tail: 'upper' }), t, 1e-10)
  }
})

test('probabilities outside 0 to 1 and impossible shapes are refused', () => {
  for (const p of [0, 1, -0.1, Number.NaN]) {
    expect(() => s.normalQuantile({ probability: p })).toThrow(/between 0 and 1/)
    expect(() => s.chiSquareQuantile({ probability: p, degreesOfFreedom: 3 })).toThrow(/between 0 and 1/)
  }
  expect(() => s.studentTProbability({ t: 1, degreesOfFreedom: 0 })).toThrow(/greater than 0/)
  expect(() => s.logGamma(-1)).toThrow(/greater than 0/)
  expect(() => s.regularisedBeta({ a: 1, b: 1, x: 1.5 })).toThrow(/0 to 1/)
  expect(() => s.binomialTails({ trials: 3, chance: 1.2, count: 1 })).toThrow(/chance/)
  expect(() => s.hypergeometricDensity({ lotSize: 5, marked: 6, sampleSize: 1, count: 0 })).toThrow(/outnumber/)
  expect(() => s.chartConstants(1)).toThrow(/at least 2/)
})
