import { expect, test } from 'vitest'
import * as s from '../../src/statistics/index.ts'
import { expectNear } from './expect-near.ts'

test('CHECKS 06-O30: a rectangular term, a resolution and a mean of four', () => {
  const rectangular = s.rectangularUncertainty({ halfWidth: 0.05 })
  const resolution = s.resolutionUncertainty({ step: 0.01 })
  const mean = s.meanUncertainty({ standardDeviation: 0.02, count: 4 })
  expectNear(rectangular, 0.028867513459, 1e-10)
  expectNear(resolution, 0.0028867513459, 1e-10)
  expectNear(mean, 0.01, 1e-15)
  const combined = s.combineUncertainty({
    components: [
      { name: 'calibration', standardUncertainty: 0.03 },
      { name: 'drift', standardUncertainty: rectangular },
      { name: 'display', standardUncertainty: resolution },
      { name: 'repeats', standardUncertainty: mean },
    ],
    coverage: { factor: 2 },
  })
  expectNear(combined.standardUncertainty, 0.042914643965, 1e-10)
  expectNear(combined.expandedUncertainty, 0.085829287931, 1e-10)
  expectNear(
    combined.contributions.reduce((sum, c) => sum + c.share, 0),
    1,
    1e-14,
  )
})

test('JCGM 100:2008, H.1 (gauge block): 25, 9.7, 2.9 and 16.6 nm give about 32 nm, 16.7 degrees of freedom, k 2.92', () => {
  // Figures of the example from memory; they agree with the formulas.
  const combined = s.combineUncertainty({
    components: [
      { name: 'standard', standardUncertainty: 25, degreesOfFreedom: 18 },
      { name: 'difference', standardUncertainty: 9.7, degreesOfFreedom: 25.6 },
      { name: 'expansion', standardUncertainty: 2.9, degreesOfFreedom: 50 },
      { name: 'temperature', standardUncertainty: 16.6, degreesOfFreedom: 2 },
    ],
    coverage: { confidence: 0.99 },
  })
  expect(combined.standardUncertainty).toBeCloseTo(31.67, 1)
  expect(combined.effectiveDegreesOfFreedom).toBeCloseTo(16.7, 0)
  // k of the example is taken at 16 whole degrees of freedom.
  expect(combined.coverageFactor).toBeCloseTo(2.9, 1)
})

test('full correlation adds, full opposition takes off, sensitivities weigh', () => {
  const components = [
    { name: 'a', standardUncertainty: 3, sensitivity: 2 },
    { name: 'b', standardUncertainty: 4, sensitivity: -1 },
  ]
  const with_ = (coefficient: number) =>
    s.combineUncertainty({
      components,
      correlations: [{ between: 'a', and: 'b', coefficient }],
      coverage: { factor: 1 },
    }).standardUncertainty
  expectNear(with_(1), 2, 1e-14)
  expectNear(with_(-1), 10, 1e-14)
  expectNear(with_(0), Math.sqrt(52), 1e-14)
})

test('one source alone: effective degrees of freedom are its own, the factor is Student t; without limit it is normal', () => {
  const one = (degreesOfFreedom?: number) =>
    s.combineUncertainty({
      components: [{ name: 'a', standardUncertainty: 0.1, ...(degreesOfFreedom ? { degreesOfFreedom } : {}) }],
      coverage: { confidence: 0.95 },
    })
  expectNear(one(9).effectiveDegreesOfFreedom, 9, 1e-13)
  // t(0.975; 9) = 2.262157, table.
  expectNear(one(9).coverageFactor, 2.262157, 1e-6)
  expectNear(one().coverageFactor, 1.959963985, 1e-9)
  expect(one().effectiveDegreesOfFreedom).toBe(Number.POSITIVE_INFINITY)
})

test('a triangle is narrower than a rectangle by the root of two', () => {
  const ratio = s.rectangularUncertainty({ halfWidth: 1 }) / s.triangularUncertainty({ halfWidth: 1 })
  expectNear(ratio, Math.SQRT2, 1e-14)
})

test('unknown sources, impossible correlations and negative uncertainties are refused', () => {
  const components = [{ name: 'a', standardUncertainty: 1 }]
  const coverage = { factor: 2 }
  const correlations = [{ between: 'a', and: 'x', coefficient: 0.5 }]
  expect(() => s.combineUncertainty({ components, correlations, coverage })).toThrow(/a and x/)
  const negative = [{ name: 'a', standardUncertainty: -1 }]
  expect(() => s.combineUncertainty({ components: negative, coverage })).toThrow(/0 or more/)
  expect(() => s.combineUncertainty({ components, coverage: { factor: 0 } })).toThrow(/greater than 0/)
  expect(() => s.rectangularUncertainty({ halfWidth: -1 })).toThrow(/0 or more/)
})
