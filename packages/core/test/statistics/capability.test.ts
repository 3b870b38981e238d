import { expect, test } from 'vitest'
import * as s from '../../src/statistics/index.ts'
import pistonRings from './data/piston-rings.json' with { type: 'json' }
import { expectNear } from './expect-near.ts'
import { normalSource } from './random.ts'

test('CHECKS 06-O13: NIST/SEMATECH e-Handbook 6.1.6, limits 8 and 20, mean 16, s 2', () => {
  const indices = s.capabilityIndices({
    mean: 16,
    standardDeviation: 2,
    count: 50,
    degreesOfFreedom: 49,
    lowerLimit: 8,
    upperLimit: 20,
    target: 14,
    confidence: 0.95,
  })
  expectNear(indices.cp!.estimate, 1, 1e-15)
  expectNear(indices.cpu!, 2 / 3, 1e-15)
  expectNear(indices.cpl!, 4 / 3, 1e-15)
  expectNear(indices.cpk.estimate, 2 / 3, 1e-15)
  expectNear(indices.offCentre!, 1 / 3, 1e-15)
  expectNear(indices.cpm!.estimate, Math.SQRT1_2, 1e-14)
  expectNear(indices.outside, 0.02278180319, 1e-9)
})

test('CHECKS 06-O14: piston rings against 73.95 and 74.05', () => {
  const values = pistonRings.subgroups.slice(0, 25).flat()
  const limits = { lowerLimit: 73.95, upperLimit: 74.05, target: 74, confidence: 0.95 }
  const study = s.capabilityStudy({ values, subgroupSize: 5, ...limits })
  expectNear(study.within.cp!.estimate, 1.7032285789, 1e-9)
  expectNear(study.within.cpu!, 1.6631686427, 1e-9)
  expectNear(study.within.cpl!, 1.743288515, 1e-9)
  expectNear(study.overall.cp!.estimate, 1.6550863377, 1e-9)
  expectNear(study.overall.cpk.estimate, 1.616158707, 1e-9)
  // The interval of the check takes 124 degrees of freedom for the standard deviation from ranges.
  const withAll = s.capabilityIndices({
    ...limits,
    mean: 74.001176,
    standardDeviation: study.within.standardDeviation,
    count: 125,
    degreesOfFreedom: 124,
  })
  expectNear(withAll.cp!.lower, 1.4913653315, 1e-9)
  expectNear(withAll.cp!.upper, 1.9147678851, 1e-9)
  // Ranges know less: their equivalent degrees of freedom are fewer and the interval is wider.
  expect(study.within.cp!.lower).toBeLessThan(withAll.cp!.lower)
})

test('single values: the short-term spread is the mean moving range over d2', () => {
  const values = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]
  const study = s.capabilityStudy({ values, subgroupSize: 1, upperLimit: 60, confidence: 0.9 })
  expectNear(study.within.standardDeviation, (16.9 / 9) * (Math.sqrt(Math.PI) / 2), 1e-12)
  expect(study.within.cp).toBeUndefined()
  expect(study.within.cpl).toBeUndefined()
  expectNear(study.within.cpk.estimate, (60 - 50.81) / (3 * study.within.standardDeviation), 1e-12)
})

test('equivalent degrees of freedom of ranges: Duncan table D3 gives 3.83 for one range of five, 1.98 for three', () => {
  // Printed values from memory of the table; to two decimals.
  expect(s.rangeDegreesOfFreedom({ subgroupSize: 5, subgroups: 1 })).toBeCloseTo(3.83, 1)
  expect(s.rangeDegreesOfFreedom({ subgroupSize: 3, subgroups: 1 })).toBeCloseTo(1.98, 1)
  // A range of two is |difference|: exactly one degree of freedom.
  expectNear(s.rangeDegreesOfFreedom({ subgroupSize: 2, subgroups: 1 }), 1, 1e-9)
  expectNear(s.movingRangeDegreesOfFreedom(2), 1, 1e-9)
})

test('variance of the mean moving range against a simulation of 20,000 samples of 12', () => {
  const normal = normalSource(41)
  const estimates = Array.from(
    { length: 20_000 },
    () => s.individualsChart(Array.from({ length: 12 }, normal)).standardDeviation,
  )
  const { mean, standardDeviation } = s.summarise(estimates)
  const degreesOfFreedom = s.movingRangeDegreesOfFreedom(12)
  // Relative standard deviation of a chi variable over its mean; the simulation knows it to 0.5 %.
  expectNear(standardDeviation / mean, Math.sqrt(s.deviationBias(degreesOfFreedom) ** -2 - 1), 0.02)
  expectNear(mean, 1, 0.01)
})

test('coverage by simulation: 95 % limits of Cp, Cpk and Cpm hold the truth in 93 to 97 % of 4,000 samples', () => {
  const normal = normalSource(7)
  const truth = { cp: 4 / 3, cpk: 1, cpm: 4 / 3 / Math.SQRT2 }
  const held = { cp: 0, cpk: 0, cpm: 0 }
  const rounds = 4000
  for (let round = 0; round < rounds; round++) {
    // Mean one off the target of limits -4 and 4, spread 1.
    const sample = s.summarise(Array.from({ length: 40 }, () => 1 + normal()))
    const indices = s.capabilityIndices({
      mean: sample.mean,
      standardDeviation: sample.standardDeviation,
      count: 40,
      degreesOfFreedom: 39,
      lowerLimit: -4,
      upperLimit: 4,
      target: 0,
      confidence: 0.95,
    })
    for (const name of ['cp', 'cpk', 'cpm'] as const) {
      const { lower, upper } = indices[name]!
      if (lower <= truth[name] && truth[name] <= upper) held[name]++
    }
  }
  for (const count of Object.values(held)) {
    expect(count / rounds).toBeGreaterThan(0.93)
    expect(count / rounds).toBeLessThan(0.97)
  }
})

test('limits that permit nothing are refused', () => {
  const input = { mean: 1, standardDeviation: 1, count: 9, degreesOfFreedom: 8, confidence: 0.9 }
  expect(() => s.capabilityIndices(input)).toThrow(/a lower or an upper limit/)
  expect(() => s.capabilityIndices({ ...input, lowerLimit: 2, upperLimit: 2 })).toThrow(/below the upper/)
  expect(() => s.capabilityIndices({ ...input, lowerLimit: 0, standardDeviation: 0 })).toThrow(/greater than 0/)
  const study = { values: [1, 2, 3], subgroupSize: 2, lowerLimit: 0, confidence: 0.9 }
  expect(() => s.capabilityStudy(study)).toThrow(/whole subgroups/)
})
