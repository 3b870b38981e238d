import fc from 'fast-check'
import { expect, test } from 'vitest'
import * as s from '../../src/statistics/index.ts'
import { expectNear } from './expect-near.ts'
import { normalSource } from './random.ts'

test('CHECKS 06-O25 and 06-O26: conformance probabilities after JCGM 106:2012, 7.4 and 7.5', () => {
  expectNear(
    s.conformanceProbability({ estimate: -5.47, standardUncertainty: 0.05, upper: -5.4 }),
    0.91924334077,
    1e-10,
  )
  expectNear(s.conformanceProbability({ estimate: 507, standardUncertainty: 10, lower: 490 }), 0.95543453724, 1e-10)
  const both = { estimate: 10.4, standardUncertainty: 0.08, lower: 9.5, upper: 10.5 }
  expectNear(s.conformanceProbability(both), 0.89435022633, 1e-10)
})

test('CHECKS 06-O26: guard band factors of JCGM 106:2012, table 1', () => {
  const wanted = [0.84162123357, 1.2815515655, 1.644853627, 2.326347874, 3.0902323062]
  for (const [i, probability] of [0.8, 0.9, 0.95, 0.99, 0.999].entries()) {
    expectNear(s.guardBandFactor({ probability }), wanted[i]!, 1e-9)
  }
})

test('a value at the edge of the guard band conforms with just the stated probability', () => {
  const u = 0.07
  const edge = 1 - s.guardBandFactor({ probability: 0.97 }) * u
  expectNear(s.conformanceProbability({ estimate: edge, standardUncertainty: u, upper: 1 }), 0.97, 1e-12)
})

const process = { production: { mean: 0, standardDeviation: 0.25 }, standardUncertainty: 0.06, lower: -0.5, upper: 0.5 }

test.each([
  [0, 0.94819788805, 0.0077718354932, 0.014073683549],
  [0.12, 0.86059990321, 0.00018800862575, 0.094087841524],
])('CHECKS 06-O27: global risks with a guard band of %d dB', (guardBand, accepted, consumer, producer) => {
  const risk = s.globalRisk({ ...process, guardBand })
  expectNear(risk.inTolerance, 0.9544997361, 1e-10)
  expectNear(risk.accepted, accepted, 1e-10)
  expectNear(risk.consumerRisk, consumer, 1e-10)
  expectNear(risk.producerRisk, producer, 1e-10)
})

test('global risks against counting 400,000 simulated units', () => {
  const normal = normalSource(3)
  let consumer = 0
  let producer = 0
  const units = 400_000
  for (let i = 0; i < units; i++) {
    const truth = 0.1 + 0.25 * normal()
    const measured = truth + 0.06 * normal()
    const good = Math.abs(truth) <= 0.5
    const accepted = Math.abs(measured) <= 0.45
    if (accepted && !good) consumer++
    if (!accepted && good) producer++
  }
  const risk = s.globalRisk({ ...process, production: { mean: 0.1, standardDeviation: 0.25 }, guardBand: 0.05 })
  // Counting knows a share p to sqrt(p / units); four of them.
  expectNear(consumer / units, risk.consumerRisk, 0, 4 * Math.sqrt(risk.consumerRisk / units))
  expectNear(producer / units, risk.producerRisk, 0, 4 * Math.sqrt(risk.producerRisk / units))
})

test('a wider guard band never raises the consumer risk and never lowers the producer risk; all shares are shares', () => {
  fc.assert(
    fc.property(
      fc.double({ min: -0.4, max: 0.4, noNaN: true }),
      fc.double({ min: 0.05, max: 1, noNaN: true }),
      fc.double({ min: 0.005, max: 0.3, noNaN: true }),
      (mean, standardDeviation, standardUncertainty) => {
        let last: s.GlobalRisk | undefined
        for (const guardBand of [0, 0.1, 0.3]) {
          const risk = s.globalRisk({
            lower: -0.5,
            upper: 0.5,
            production: { mean, standardDeviation },
            standardUncertainty,
            guardBand,
          })
          for (const share of Object.values(risk)) {
            expect(share).toBeGreaterThanOrEqual(-1e-12)
            expect(share).toBeLessThanOrEqual(1)
          }
          if (last) {
            expect(risk.consumerRisk).toBeLessThanOrEqual(last.consumerRisk + 1e-12)
            expect(risk.producerRisk).toBeGreaterThanOrEqual(last.producerRisk - 1e-12)
          }
          last = risk
        }
      },
    ),
    { numRuns: 40 },
  )
})

test('one-sided tolerance: risks of a mirrored process are the same', () => {
  const below = s.globalRisk({
    upper: 1,
    production: { mean: 0.4, standardDeviation: 0.3 },
    standardUncertainty: 0.1,
    guardBand: 0.05,
  })
  const above = s.globalRisk({
    lower: -1,
    production: { mean: -0.4, standardDeviation: 0.3 },
    standardUncertainty: 0.1,
    guardBand: 0.05,
  })
  for (const name of ['accepted', 'consumerRisk', 'producerRisk'] as const) expectNear(below[name], above[name], 1e-11)
})

test('a guard band that leaves nothing to accept, and missing limits, are refused', () => {
  expect(() => s.globalRisk({ ...process, guardBand: 0.5 })).toThrow(/below the upper/)
  expect(() => s.conformanceProbability({ estimate: 1, standardUncertainty: 1 })).toThrow(/a lower or an upper/)
  expect(() => s.conformanceProbability({ estimate: 1, standardUncertainty: 0, upper: 2 })).toThrow(/greater than 0/)
  expect(() => s.guardBandFactor({ probability: 1 })).toThrow(/between 0 and 1/)
})
