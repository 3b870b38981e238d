import fc from 'fast-check'
import { expect, test } from 'vitest'
import * as s from '../../src/statistics/index.ts'
import { expectNear } from './expect-near.ts'
import { uniformSource } from './random.ts'

const leadTimeDemand: s.CountLaw = { kind: 'poisson', mean: 7.5 }

test('CHECKS 07-O01: Poisson reorder point, 2.5 a week over 3 weeks', () => {
  const law = s.leadTimeDemand({ demandPerPeriod: { kind: 'poisson', mean: 2.5 }, leadTime: { mean: 3, variance: 0 } })
  expect(law).toEqual(leadTimeDemand)
  const at = (serviceLevel: number) => s.reorderPoint({ leadTimeDemand: law, serviceLevel })
  expect([0.9, 0.95, 0.99].map((level) => at(level).reorderPoint)).toEqual([11, 12, 15])
  const wanted = { 10: 0.86223798343, 11: 0.92075869053, 12: 0.95733413246, 13: 0.97843534896, 14: 0.98973957209 }
  for (const [r, p] of Object.entries(wanted)) expectNear(s.countTails(law, Number(r)).lower, p, 1e-10)
  expectNear(at(0.95).serviceLevel, 0.95733413246, 1e-10)
  expect(at(0.95).safetyStock).toBe(4.5)
})

test.each([
  [8, 0.52463852649, 0.66196711914, 0.86094800447, 1.3609480045],
  [10, 0.77640761302, 0.86223798343, 0.29932273664, 2.7993227366],
  [12, 0.92075869053, 0.95733413246, 0.08231941059, 4.5823194106],
])('CHECKS 07-O02: base stock of %d', (baseStock, fill, ready, backorders, onHand) => {
  const performance = s.baseStockPerformance({ leadTimeDemand, baseStock })
  expectNear(performance.fillRate, fill, 1e-10)
  expectNear(performance.readyRate, ready, 1e-10)
  expectNear(performance.expectedBackorders, backorders, 1e-10)
  expectNear(performance.expectedOnHand, onHand, 1e-10)
})

test('CHECKS 07-O03: reorder at 8, order 10', () => {
  const performance = s.reorderPerformance({ leadTimeDemand, reorderPoint: 8, orderQuantity: 10 })
  expectNear(performance.fillRate, 0.91395232301, 1e-10)
  expectNear(performance.expectedBackorders, 0.11366415311, 1e-10)
  expectNear(performance.expectedOnHand, 6.1136641531, 1e-10)
})

/** Runs a shop with Poisson customers and a fixed lead time of one, and counts who is served from the shelf. */
function simulateFillRate(options: { mean: number; reorderPoint: number; orderQuantity: number; customers: number }) {
  const uniform = uniformSource(11)
  let time = 0
  let net = options.reorderPoint + options.orderQuantity
  let position = net
  let due: number[] = []
  let served = 0
  for (let i = 0; i < options.customers; i++) {
    time += -Math.log(1 - uniform()) / options.mean
    net += options.orderQuantity * due.filter((t) => t <= time).length
    due = due.filter((t) => t > time)
    if (net > 0) served++
    net--
    position--
    if (position === options.reorderPoint) {
      position += options.orderQuantity
      due.push(time + 1)
    }
  }
  return served / options.customers
}

test('fill rate against a simulated shop of 300,000 customers', () => {
  const simulated = simulateFillRate({ mean: 7.5, reorderPoint: 8, orderQuantity: 10, customers: 300_000 })
  expectNear(simulated, 0.91395232301, 0, 0.005)
})

test('more stock never serves worse, for Poisson and for negative binomial demand', () => {
  fc.assert(
    fc.property(
      fc.double({ min: 0.2, max: 40, noNaN: true }),
      fc.double({ min: 0, max: 60, noNaN: true }),
      fc.integer({ min: 0, max: 60 }),
      (mean, extra, baseStock) => {
        const law = s.countLaw({ mean, variance: mean + extra })
        const here = s.baseStockPerformance({ leadTimeDemand: law, baseStock })
        const more = s.baseStockPerformance({ leadTimeDemand: law, baseStock: baseStock + 1 })
        expect(more.fillRate).toBeGreaterThanOrEqual(here.fillRate - 1e-14)
        expect(more.expectedBackorders).toBeLessThanOrEqual(here.expectedBackorders + 1e-14)
        // One more unit on the shelf is either in stock or has served a backorder.
        expectNear(more.expectedOnHand - here.expectedOnHand, here.readyRate, 1e-9, 1e-9)
      },
    ),
    { numRuns: 60 },
  )
})

test('demand from history: scattered like Poisson stays Poisson, lumpy demand becomes negative binomial', () => {
  const even = s.demandFromHistory({ counts: [2, 3, 1, 4, 2, 2, 3, 1, 2, 5], significance: 0.05 })
  expect(even.law.kind).toBe('poisson')
  expectNear(even.mean, 2.5, 1e-15)
  const lumpy = s.demandFromHistory({ counts: [0, 0, 9, 0, 1, 12, 0, 0, 2, 0, 8, 0], significance: 0.05 })
  expect(lumpy.law.kind).toBe('negative-binomial')
  // Mean 32 / 12, sum of squares 294: index of dispersion by hand (294 - 32^2 / 12) / (32 / 12) = 78.25, 11 degrees.
  expectNear(lumpy.dispersion * 11, 78.25, 1e-12)
  // A long tail needs more stock than the same mean with Poisson scatter.
  const needed = (law: s.CountLaw) => s.reorderPoint({ leadTimeDemand: law, serviceLevel: 0.95 }).reorderPoint
  expect(needed(lumpy.law)).toBeGreaterThan(needed({ kind: 'poisson', mean: lumpy.mean }))
  expect(s.demandFromHistory({ counts: [0, 0, 0], significance: 0.05 }).law).toEqual({ kind: 'poisson', mean: 0 })
})

test('an uncertain lead time adds the square of the demand times its variance', () => {
  const law = s.leadTimeDemand({ demandPerPeriod: { kind: 'poisson', mean: 4 }, leadTime: { mean: 2, variance: 0.5 } })
  expect(law).toEqual({ kind: 'negative-binomial', mean: 8, variance: 16 })
})

test('stock-out: probability and time undo each other; none left with Poisson demand is the exponential law', () => {
  const demandPerPeriod: s.CountLaw = { kind: 'poisson', mean: 0.7 }
  expectNear(s.stockOutTime({ onHand: 0, demandPerPeriod, probability: 0.5 }), Math.LN2 / 0.7, 1e-12)
  for (const law of [demandPerPeriod, { kind: 'negative-binomial', mean: 2, variance: 5 } as const]) {
    const periods = s.stockOutTime({ onHand: 12, demandPerPeriod: law, probability: 0.1 })
    expectNear(s.stockOutProbability({ onHand: 12, demandPerPeriod: law, periods }), 0.1, 1e-11)
  }
  const never: s.CountLaw = { kind: 'poisson', mean: 0 }
  expect(s.stockOutTime({ onHand: 3, demandPerPeriod: never, probability: 0.5 })).toBe(Number.POSITIVE_INFINITY)
})

test('CHECKS 07-O04: newsvendor, cost 12, price 30, salvage 5', () => {
  const costs = { unitCost: 12, price: 30, salvage: 5 }
  const normal = s.newsvendorQuantity({ ...costs, demand: { kind: 'normal', mean: 100, standardDeviation: 20 } })
  expectNear(normal.criticalRatio, 0.72, 1e-15)
  expectNear(normal.quantity, 111.65683015, 1e-9)
  expect(s.newsvendorQuantity({ ...costs, demand: { kind: 'poisson', mean: 8 } }).quantity).toBe(10)
})

test('newsvendor: no other whole quantity earns more, by adding up profits', () => {
  const demand: s.CountLaw = { kind: 'negative-binomial', mean: 9, variance: 20 }
  const profit = (quantity: number): number => {
    let sum = 0
    for (let d = 0; d < 200; d++) {
      sum += s.countDensity(demand, d) * (30 * Math.min(d, quantity) + 5 * Math.max(0, quantity - d) - 12 * quantity)
    }
    return sum
  }
  const { quantity } = s.newsvendorQuantity({ unitCost: 12, price: 30, salvage: 5, demand })
  for (let q = 0; q < 40; q++) expect(profit(q)).toBeLessThanOrEqual(profit(quantity) + 1e-9)
})

test('CHECKS 07-O05: economic order quantity', () => {
  const rates = { annualDemand: 1200, orderCost: 25, holdingCostPerUnitYear: 1.5 }
  const order = s.economicOrder(rates)
  expectNear(order.quantity, 200, 1e-14)
  expectNear(order.ordersPerYear, 6, 1e-14)
  expectNear(order.costPerYear, 300, 1e-14)
  expectNear(s.orderAndHoldingCost({ ...rates, quantity: 400 }) / order.costPerYear, 1.25, 1e-14)
})

test('CHECKS 07-O06: a price break at 250', () => {
  const { best, candidates } = s.economicOrderWithBreaks({
    annualDemand: 600,
    orderCost: 20,
    holdingRate: 0.25,
    priceBreaks: [
      { from: 250, unitPrice: 7.6 },
      { from: 1, unitPrice: 8 },
    ],
  })
  expectNear(candidates[0]!.quantity, 109.5445115, 1e-9)
  expectNear(candidates[0]!.totalPerYear, 5019.089023, 1e-9)
  expect(best).toEqual({ quantity: 250, unitPrice: 7.6, totalPerYear: expect.closeTo(4845.5, 9) })
})

test('CHECKS 07-O07 and 07-O08: Little and one bench', () => {
  expect(s.meanNumberInShop({ arrivalRate: 6, meanTimeInShop: 1.5 })).toBe(9)
  expect(s.meanTimeInShop({ arrivalRate: 4, meanNumber: 12 })).toBe(3)
  const rates = { arrivalRate: 4, serviceRate: 5 }
  const bench = s.singleBench(rates)
  expectNear(bench.utilisation, 0.8, 1e-15)
  expectNear(bench.meanNumber, 4, 1e-14)
  expectNear(bench.meanWaiting, 3.2, 1e-14)
  expectNear(bench.meanTimeInShop, 1, 1e-14)
  expectNear(bench.meanWaitingTime, 0.8, 1e-14)
  expectNear(s.singleBenchTail({ ...rates, atLeast: 5 }), 0.32768, 1e-13)
})

test('CHECKS 07-O11: 100 at 2.00, 50 at 2.60, 120 issued (minor units)', () => {
  const receipts = [
    { count: 100, totalMinor: 20000 },
    { count: 50, totalMinor: 13000 },
  ]
  const average = s.issueAtAverageCost({ stock: s.averageStock(receipts), count: 120 })
  expect(average).toEqual({ issued: { count: 120, totalMinor: 26400 }, left: { count: 30, totalMinor: 6600 } })
  const fifo = s.issueFirstInFirstOut({ receipts, count: 120 })
  expect(fifo.issued).toEqual({ count: 120, totalMinor: 25200 })
  expect(fifo.left).toEqual([{ count: 30, totalMinor: 7800 }])
})

test('no cent is lost, however the stock is issued', () => {
  const layer = fc.record({ count: fc.integer({ min: 0, max: 500 }), totalMinor: fc.integer({ min: 0, max: 1e7 }) })
  fc.assert(
    fc.property(
      fc.array(layer, { minLength: 1, maxLength: 6 }),
      fc.double({ min: 0, max: 1, noNaN: true }),
      (receipts, part) => {
        const all = s.averageStock(receipts)
        const count = Math.floor(part * all.count)
        const average = s.issueAtAverageCost({ stock: all, count })
        expect(average.issued.totalMinor + average.left.totalMinor).toBe(all.totalMinor)
        const fifo = s.issueFirstInFirstOut({ receipts, count })
        const left = s.averageStock(fifo.left)
        // Layers without a piece hold no cost that could be issued later: it goes with the first issue.
        expect(fifo.issued.totalMinor + left.totalMinor).toBe(all.totalMinor)
        expect(fifo.issued.count + left.count).toBe(all.count)
      },
    ),
  )
})

test.each([
  () => s.reorderPoint({ leadTimeDemand, serviceLevel: 1 }),
  () => s.countTails({ kind: 'negative-binomial', mean: 5, variance: 5 }, 2),
  () => s.newsvendorQuantity({ unitCost: 30, price: 12, salvage: 5, demand: leadTimeDemand }),
  () => s.economicOrder({ annualDemand: 0, orderCost: 1, holdingCostPerUnitYear: 1 }),
  () => s.economicOrderWithBreaks({ annualDemand: 1, orderCost: 1, holdingRate: 1, priceBreaks: [] }),
  () => s.singleBench({ arrivalRate: 5, serviceRate: 5 }),
  () => s.issueAtAverageCost({ stock: { count: 3, totalMinor: 100 }, count: 4 }),
  () => s.issueFirstInFirstOut({ receipts: [{ count: 1, totalMinor: 0.5 }], count: 1 }),
  () => s.demandFromHistory({ counts: [1, -2], significance: 0.05 }),
  () => s.stockOutTime({ onHand: -1, demandPerPeriod: leadTimeDemand, probability: 0.5 }),
])('bad input %# is refused with the code bad-argument', (call) => {
  expect(call).toThrow(expect.objectContaining({ code: 'bad-argument' }))
})
