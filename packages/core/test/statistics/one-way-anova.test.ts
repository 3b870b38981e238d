import { expect, test } from 'vitest'
import { oneWayAnova } from '../../src/statistics/index.ts'
import nist from './data/nist-anova.json' with { type: 'json' }
import { expectNear } from './expect-near.ts'

// CHECKS 06-O04: NIST StRD analysis of variance, certified to 15 digits. SmLs04 has 7 leading digits in common, so its
// readings carry 9 digits of their spread.
test.each([
  { name: 'SiRstvt', relative: 1e-11 },
  { name: 'SmLs01t', relative: 1e-12 },
  { name: 'SmLs04t', relative: 1e-8 },
] as const)('NIST $name', ({ name, relative }) => {
  const set = nist[name]
  const anova = oneWayAnova(set.groups)
  expect(anova.between.degreesOfFreedom).toBe(set.between.df)
  expect(anova.within.degreesOfFreedom).toBe(set.within.df)
  expectNear(anova.between.sumOfSquares, set.between.ss, relative)
  expectNear(anova.within.sumOfSquares, set.within.ss, relative)
  expectNear(anova.f, set.between.F, relative)
  expectNear(anova.rSquared, set.r2, relative)
  expectNear(anova.residualStandardDeviation, set.rsd, relative)
})

test('13 leading digits in common (the construction of SmLs07: SmLs01 lifted by 1e12)', () => {
  const groups = nist.SmLs01t.groups.map((group) => group.map((x) => x - 1 + 1e12))
  // A reading near 1e12 is rounded to 1.2e-4, a thousandth of the spread: no method can give more digits than three.
  expectNear(oneWayAnova(groups).f, 21, 5e-3)
})

test('tail probability: SiRstvt, F = 1.18 with 4 and 20 degrees (scipy 1.17.1: f.sf gives 0.349447493402)', () => {
  expect(oneWayAnova(nist.SiRstvt.groups).probabilityBeyond).toBeCloseTo(0.34944749340219294, 13)
})

test('groups of different size: the same F as the square of a two-sample t', () => {
  const [a, b] = [
    [1, 4, 2, 8],
    [5, 7, 9, 6, 10, 3],
  ]
  const anova = oneWayAnova([a!, b!])
  // Pooled t by hand: means 3.75 and 6.6667, sums of squares 28.75 and 33.3333.
  const pooled = (28.75 + 33.333333333333336) / 8
  const t = (3.75 - 40 / 6) / Math.sqrt(pooled * (1 / 4 + 1 / 6))
  expectNear(anova.f, t * t, 1e-12)
})

test('too little to compare is refused', () => {
  expect(() => oneWayAnova([[1, 2]])).toThrow(/two groups/)
  expect(() => oneWayAnova([[1], [2]])).toThrow(/repeat/)
  expect(() => oneWayAnova([[1, 2], []])).toThrow(/Group 2/)
})
