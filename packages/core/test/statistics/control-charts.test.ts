import fc from 'fast-check'
import { expect, test } from 'vitest'
import * as s from '../../src/statistics/index.ts'
import pistonRings from './data/piston-rings.json' with { type: 'json' }
import shewhart from './data/shewhart-constants.json' with { type: 'json' }
import viscosity from './data/viscosity.json' with { type: 'json' }
import { expectNear } from './expect-near.ts'

test.each(shewhart.rows)('CHECKS 06-O05: constants for subgroups of $n', (row) => {
  const constants = s.chartConstants(row.n)
  for (const name of ['d2', 'd3', 'c4', 'A2', 'A3', 'B3', 'B4', 'D3', 'D4', 'E2'] as const) {
    expectNear(constants[name], row[name], 2e-11, 0, name)
  }
})

// NIST/SEMATECH e-Handbook 6.3.2.2 prints 50.81, 1.8778, 55.8041 and 45.8159 (with d2 = 1.128 rounded).
const flow = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]

test('CHECKS 06-O06: individuals and moving range', () => {
  const chart = s.individualsChart(flow)
  expectNear(chart.values.centre, 50.81, 1e-14)
  for (const [i, range] of [2, 2.3, 1.4, 3.5, 3.4, 1.4, 0.2, 1.2, 1.5].entries()) {
    expectNear(chart.ranges[i]!, range, 1e-12)
  }
  expectNear(chart.meanMovingRange, 1.8777777778, 1e-10)
  expectNear(chart.values.upper, 55.80241168, 1e-9)
  // The printed limit, with d2 rounded to 1.128: the difference is that rounding.
  expectNear(chart.values.centre + (3 * chart.meanMovingRange) / 1.128, 55.8041, 1e-6)
  // D4 printed as 3.267.
  expectNear(chart.rangeLimits.upper, 6.1347, 2e-4)
  expect(s.pointsBeyond(flow, chart.values)).toEqual([])
})

test('CHECKS 06-O07: paint viscosity, one point of the first twenty beyond', () => {
  const values = viscosity.values.slice(0, viscosity.phase1)
  const chart = s.individualsChart(values)
  expectNear(chart.values.centre, 34.088, 1e-12)
  expectNear(chart.meanMovingRange, 0.57263157895, 1e-10)
  expectNear(chart.standardDeviation, 0.50748152363, 1e-10)
  expectNear(chart.values.upper, 35.610444571, 1e-10)
  expectNear(chart.values.lower, 32.565555429, 1e-10)
  // The fourth, counted from one.
  expect(s.pointsBeyond(values, chart.values)).toEqual([3])
})

test('CHECKS 06-O08: piston rings, means with ranges and with standard deviations', () => {
  const first = pistonRings.subgroups.slice(0, 25)
  const byRange = s.meanRangeChart(first)
  expectNear(byRange.meanLimits.centre, 74.001176, 1e-12)
  expectNear(byRange.spreadLimits.centre, 0.02276, 1e-10)
  expectNear(byRange.standardDeviation, 0.0097853376074, 1e-10)
  expectNear(byRange.meanLimits.upper, 74.014304408, 1e-10)
  expectNear(byRange.meanLimits.lower, 73.988047592, 1e-10)
  expectNear(byRange.spreadLimits.upper, 0.048126000542, 1e-10)
  expect(byRange.spreadLimits.lower).toBe(0)
  const byDeviation = s.meanDeviationChart(first)
  expectNear(byDeviation.spreadLimits.centre, 0.0092400366023, 1e-10)
  expectNear(byDeviation.standardDeviation, 0.0098299767283, 1e-10)
  const later = s.meanRangeChart(pistonRings.subgroups.slice(25)).means
  // Samples 37, 38 and 39.
  expect(s.pointsBeyond(later, byRange.meanLimits).map((i) => i + 26)).toEqual([37, 38, 39])
})

test('CHECKS 06-O09: c chart, NIST/SEMATECH e-Handbook 6.3.3.1', () => {
  const counts = [16, 14, 28, 16, 12, 20, 10, 12, 10, 17, 19, 17, 14, 16, 15, 13, 14, 16, 11, 20, 11, 19, 16, 31, 13]
  const limits = s.countChart(counts)
  expectNear(limits.centre, 16, 1e-14)
  expectNear(limits.upper, 28, 1e-14)
  expectNear(limits.lower, 4, 1e-13)
  // The 24th; the third, 28, lies exactly on the limit.
  expect(s.pointsBeyond(counts, limits)).toEqual([23])
  expect(s.countChart([1, 0, 2]).lower).toBe(0)
})

// NIST/SEMATECH e-Handbook 6.3.2.4 prints 50.60 49.52 50.56 50.18 ... 51.94 51.99.
const watched = [
  52, 47, 53, 49.3, 50.1, 47, 51, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1,
]
const printed = [
  50.6, 49.52, 50.564, 50.1848, 50.1594, 49.2116, 49.7481, 49.8537, 50.2576, 50.3303, 50.1112, 49.3578, 49.5205,
  50.0543, 49.378, 49.9246, 50.7272, 51.2291, 51.9403, 51.9882,
]

test('CHECKS 06-O10: EWMA chart', () => {
  const options = { values: watched, centre: 50, standardDeviation: 2.0539, weight: 0.3, width: 3 }
  const chart = s.ewmaChart(options)
  for (const [i, average] of chart.averages.entries()) expect(average).toBeCloseTo(printed[i]!, 3)
  expectNear(chart.limits.upper, 52.588431738, 1e-10)
  expectNear(chart.limits.lower, 47.411568262, 1e-10)
  expect(chart.beyond).toEqual([])
  const exact = s.ewmaChart({ ...options, startingLimits: true })
  // Variance of the first average is weight^2 s^2, of a late one that of the long run.
  expectNear(exact.reaches[0]!, 3 * 0.3 * 2.0539, 1e-12)
  expectNear(exact.reaches[19]!, chart.reaches[19]!, 1e-6)
})

test('an EWMA of weight 1 is the individuals chart', () => {
  const chart = s.ewmaChart({
    values: flow,
    centre: 50,
    standardDeviation: 1,
    weight: 1,
    width: 3,
    startingLimits: true,
  })
  expect(Array.from(chart.averages)).toEqual(flow)
  expect(chart.beyond).toEqual(s.pointsBeyond(flow, { centre: 50, lower: 47, upper: 53 }))
})

test('limits move with a shift and stretch with a factor', () => {
  fc.assert(
    fc.property(
      fc.array(fc.integer({ min: -50, max: 50 }), { minLength: 3, maxLength: 30 }),
      fc.integer({ min: -99, max: 99 }),
      fc.integer({ min: 1, max: 9 }),
      (values, shift, factor) => {
        const plain = s.individualsChart(values)
        const moved = s.individualsChart(values.map((x) => factor * x + shift))
        for (const side of ['lower', 'centre', 'upper'] as const) {
          expectNear(moved.values[side], factor * plain.values[side] + shift, 1e-11, 1e-10)
        }
      },
    ),
  )
})

test('charts refuse what they can not chart', () => {
  expect(() => s.individualsChart([1])).toThrow(/at least 2/)
  expect(() => s.meanRangeChart([[1, 2], [3]])).toThrow(/Subgroup 2/)
  expect(() =>
    s.meanDeviationChart([
      [1, 2],
      [3, 4, 5],
    ]),
  ).toThrow(/one size/)
  expect(() => s.meanRangeChart([])).toThrow(/one size/)
  expect(() => s.countChart([1, 2.5])).toThrow(/whole number/)
  expect(() => s.ewmaChart({ values: [1], centre: 0, standardDeviation: 1, weight: 0, width: 3 })).toThrow(/weight/)
  expect(() => s.ewmaChart({ values: [1], centre: 0, standardDeviation: 0, weight: 0.2, width: 3 })).toThrow(/greater/)
})
