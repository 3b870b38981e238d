import fc from 'fast-check'
import { expect, test } from 'vitest'
import * as s from '../../src/statistics/index.ts'
import { expectNear } from './expect-near.ts'

// CHECKS 06-O18: Clopper and Pearson 1934; the first two also as printed by R 4.2.2 binom.test.
test.each([
  [682, 925, 0.95, 0.70766826408, 0.76540655824],
  [4, 20, 0.9, 0.071353884309, 0.40102811733],
  [0, 30, 0.95, 0, 0.11570330822],
  [1, 50, 0.95, 0.00050622798304, 0.10646954571],
  [48, 48, 0.95, 0.92602721465, 1],
  // CHECKS 07-O10: 3 faulty returns of 240.
  [3, 240, 0.95, 0.0025852561852, 0.036093679484],
])('exact proportion: %d of %d at %d', (successes, trials, confidence, lower, upper) => {
  const interval = s.exactProportionInterval({ successes, trials, confidence })
  expectNear(interval.lower, lower, 1e-10)
  expectNear(interval.upper, upper, 1e-10)
  expect(interval.estimate).toBe(successes / trials)
})

test('one-sided upper bound of none in 30: 1 - 0.05^(1/30)', () => {
  const bound = s.exactProportionInterval({ successes: 0, trials: 30, confidence: 0.95, sides: 'upper' })
  expectNear(bound.upper, 1 - 0.05 ** (1 / 30), 1e-13)
  expectNear(bound.upper, 0.095033852855, 1e-10)
  expect(bound.lower).toBe(0)
})

test('CHECKS 06-O21, Wilson 1927: 4 of 20 at 95 %', () => {
  const interval = s.scoreProportionInterval({ successes: 4, trials: 20, confidence: 0.95 })
  expectNear(interval.lower, 0.08065766258, 1e-9)
  expectNear(interval.upper, 0.41601743225, 1e-9)
})

/** Chance that an interval covers a share, summed over all outcomes. */
function coverage(trials: number, share: number, covers: (successes: number) => boolean): number {
  let sum = 0
  for (let k = 0; k <= trials; k++) if (covers(k)) sum += s.binomialDensity({ trials, chance: share, count: k })
  return sum
}

test('coverage by enumeration: exact limits never below the confidence, score limits near it on average', () => {
  for (const trials of [5, 17, 40]) {
    const exact = Array.from({ length: trials + 1 }, (_, successes) =>
      s.exactProportionInterval({ successes, trials, confidence: 0.9 }),
    )
    const score = exact.map((_, successes) => s.scoreProportionInterval({ successes, trials, confidence: 0.9 }))
    let sum = 0
    for (let i = 1; i < 200; i++) {
      const p = i / 200
      expect(coverage(trials, p, (k) => exact[k]!.lower <= p && p <= exact[k]!.upper)).toBeGreaterThanOrEqual(
        0.9 - 1e-12,
      )
      sum += coverage(trials, p, (k) => score[k]!.lower <= p && p <= score[k]!.upper) / 199
    }
    expect(sum).toBeGreaterThan(0.88)
    expect(sum).toBeLessThan(0.93)
  }
})

test('exact limits are mirrored when success and failure change places, and grow with the confidence', () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 300 }), fc.double({ min: 0, max: 1, noNaN: true }), (trials, part) => {
      const successes = Math.round(part * trials)
      const here = s.exactProportionInterval({ successes, trials, confidence: 0.95 })
      const there = s.exactProportionInterval({ successes: trials - successes, trials, confidence: 0.95 })
      expectNear(here.lower, 1 - there.upper, 1e-12, 1e-12)
      const wider = s.exactProportionInterval({ successes, trials, confidence: 0.99 })
      expect(wider.lower).toBeLessThanOrEqual(here.lower)
      expect(wider.upper).toBeGreaterThanOrEqual(here.upper)
    }),
  )
})

// CHECKS 06-O19 and 06-O20: Garwood 1936; 137 in 24.19893 also as printed by R 4.2.2 poisson.test.
test.each([
  [0, 1, 0.95, 0, 3.6888794541],
  [1, 1, 0.95, 0.025317807984, 5.5716433909],
  [3, 1, 0.95, 0.6186721229, 8.7672730697],
  [10, 1, 0.95, 4.7953886961, 18.390356042],
  [137, 24.19893, 0.95, 4.7531248048, 6.6927093342],
  [2, 1, 0.9, 0.3553615107, 6.2957936219],
  [7, 1, 0.95, 2.8143630515, 14.422675362],
  [25, 1, 0.99, 13.995374433, 41.000412851],
])('exact count: %d in %d at %d', (count, exposure, confidence, lower, upper) => {
  const interval = s.exactCountInterval({ count, exposure, confidence })
  expectNear(interval.lower, lower, 1e-9)
  expectNear(interval.upper, upper, 1e-9)
})

test('coverage of the exact count limits, by enumeration of all counts that matter', () => {
  const limits = Array.from({ length: 120 }, (_, count) => s.exactCountInterval({ count, confidence: 0.9 }))
  for (let mean = 0.1; mean < 40; mean += 0.37) {
    let sum = 0
    for (const [count, { lower, upper }] of limits.entries()) {
      if (lower <= mean && mean <= upper) sum += s.poissonDensity({ mean, count })
    }
    expect(sum).toBeGreaterThanOrEqual(0.9 - 1e-12)
  }
})

// CHECKS 07-O09: NIST/SEMATECH e-Handbook 8.4.5.1, 12,000 unit hours, 90 %.
test.each([
  [0, undefined, 4005.6984083, Number.POSITIVE_INFINITY, 5211.5337828],
  [2, 6000, 1906.0345241, 33768.429159, 2254.6557212],
  [5, 2400, 1141.4401364, 6090.9081191, 1293.8460304],
])('mean time between failures, %d failures', (failures, estimate, lower, upper, oneSided) => {
  const two = s.meanTimeBetweenFailures({ totalTime: 12000, failures, confidence: 0.9 })
  expect(two.estimate).toBe(estimate)
  expectNear(two.lower, lower, 1e-9)
  if (Number.isFinite(upper)) expectNear(two.upper, upper, 1e-9)
  else expect(two.upper).toBe(upper)
  const one = s.meanTimeBetweenFailures({ totalTime: 12000, failures, confidence: 0.9, sides: 'lower' })
  expectNear(one.lower, oneSided, 1e-9)
  expect(one.upper).toBe(Number.POSITIVE_INFINITY)
})

test('no failure, one-sided: T / -ln(1 - confidence)', () => {
  const one = s.meanTimeBetweenFailures({ totalTime: 12000, failures: 0, confidence: 0.9, sides: 'lower' })
  expectNear(one.lower, 12000 / -Math.log(0.1), 1e-12)
})

test('NIST/SEMATECH e-Handbook 1.3.5.2, heat flow meter: mean 9.26146, s 0.022789, n 195 gives 9.258242 to 9.264679', () => {
  // Printed values from memory; they agree with Student's t of 1.9723 for 194 degrees of freedom.
  const limits = s.meanInterval({ mean: 9.26146, standardDeviation: 0.022789, count: 195, confidence: 0.95 })
  expect(limits.lower).toBeCloseTo(9.258242, 5)
  expect(limits.upper).toBeCloseTo(9.264679, 5)
})

test('standard deviation: the chi-square table, s = 1 with 9 degrees at 95 % (2.7004, 19.0228) gives 0.688 to 1.826', () => {
  const limits = s.deviationInterval({ standardDeviation: 1, degreesOfFreedom: 9, confidence: 0.95 })
  expectNear(limits.lower, Math.sqrt(9 / 19.0228), 1e-5)
  expectNear(limits.upper, Math.sqrt(9 / 2.7004), 1e-5)
})

test('CHECKS 06-O23 and 06-O24: tolerance factors, NIST/SEMATECH e-Handbook 7.2.6.3', () => {
  const first = { count: 43, coverage: 0.9, confidence: 0.99 }
  expectNear(s.twoSidedToleranceFactor(first), 2.2173158967, 1e-9)
  expectNear(s.oneSidedToleranceFactor(first), 1.8739536059, 1e-9)
  const second = { count: 20, coverage: 0.95, confidence: 0.95 }
  expectNear(s.twoSidedToleranceFactor(second), 2.7522848885, 1e-9)
  expectNear(s.oneSidedToleranceFactor(second), 2.3960016838, 1e-9)
})

test('one-sided tolerance factor of two values, known in closed form', () => {
  // With one degree of freedom and half the population: k = t(confidence; 1) / sqrt 2, t the Cauchy quantile.
  const k = s.oneSidedToleranceFactor({ count: 2, coverage: 0.5, confidence: 0.95 })
  expectNear(k, Math.tan(Math.PI * 0.45) / Math.SQRT2, 1e-9)
})

test('CHECKS 06-O22: success-run sizes', () => {
  const size = (reliability: number, confidence: number) => s.successRunSize({ reliability, confidence }).count
  expect([size(0.9, 0.9), size(0.95, 0.9), size(0.95, 0.95), size(0.99, 0.95)]).toEqual([22, 45, 59, 299])
  expectNear(s.successRunSize({ reliability: 0.95, confidence: 0.95 }).exact, 58.403974814, 1e-10)
  // A run that is just enough: two of 50 % reliability leave a quarter.
  expect(size(0.5, 0.75)).toBe(2)
  expectNear(s.successRunReliability({ count: 59, confidence: 0.95 }), 0.05 ** (1 / 59), 1e-12)
})

test.each([
  () => s.exactProportionInterval({ successes: 5, trials: 4, confidence: 0.9 }),
  () => s.exactProportionInterval({ successes: -1, trials: 4, confidence: 0.9 }),
  () => s.exactProportionInterval({ successes: 1.5, trials: 4, confidence: 0.9 }),
  () => s.scoreProportionInterval({ successes: 0, trials: 0, confidence: 0.9 }),
  () => s.exactCountInterval({ count: 3, confidence: 1 }),
  () => s.exactCountInterval({ count: 3, exposure: 0, confidence: 0.9 }),
  () => s.meanInterval({ mean: 1, standardDeviation: 1, count: 1, confidence: 0.9 }),
  () => s.meanTimeBetweenFailures({ totalTime: 0, failures: 0, confidence: 0.9 }),
  () => s.twoSidedToleranceFactor({ count: 1, coverage: 0.9, confidence: 0.9 }),
  () => s.successRunSize({ reliability: 1, confidence: 0.9 }),
])('bad input %# is refused with the code bad-argument', (call) => {
  expect(call).toThrow(expect.objectContaining({ code: 'bad-argument' }))
})
