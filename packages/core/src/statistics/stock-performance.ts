import { requireCount } from './check-argument.ts'
import { type CountLaw, countTails, expectedExcess } from './count-law.ts'

/** How a stock rule serves, in the long run. */
export interface StockPerformance {
  /** Share of demand served from the shelf at once. */
  fillRate: number
  /** Share of time without backorders. */
  readyRate: number
  expectedBackorders: number
  expectedOnHand: number
}

/**
 * One-for-one ordering: each unit sold is replaced by an order at once, up to a base stock.
 * Source: Feeney and Sherbrooke, Manag. Sci. 12 (1966) 391-411: fill rate P(D <= S - 1). Exact for Poisson demand of
 * single units; for negative binomial demand, counted by the units on order. Throws `bad-argument`.
 */
export function baseStockPerformance(options: { leadTimeDemand: CountLaw; baseStock: number }): StockPerformance {
  const { leadTimeDemand: law, baseStock } = options
  requireCount('The base stock', baseStock)
  const expectedBackorders = expectedExcess(law, baseStock)
  return {
    fillRate: countTails(law, baseStock - 1).lower,
    readyRate: countTails(law, baseStock).lower,
    expectedBackorders,
    expectedOnHand: baseStock - law.mean + expectedBackorders,
  }
}

/**
 * Continuous review: when stock on hand plus on order falls to the reorder point, a fixed quantity is ordered.
 * Source: Hadley and Whitin, "Analysis of Inventory Systems", chapter 4: the inventory position is uniform on r + 1 to
 * r + Q, so that the figures are the mean of those of base stocks. Exact for Poisson demand. Throws `bad-argument`.
 */
export function reorderPerformance(options: {
  leadTimeDemand: CountLaw
  reorderPoint: number
  orderQuantity: number
}): StockPerformance {
  const { leadTimeDemand, reorderPoint, orderQuantity } = options
  requireCount('The reorder point', reorderPoint)
  requireCount('The order quantity', orderQuantity, 1)
  const sum: StockPerformance = { fillRate: 0, readyRate: 0, expectedBackorders: 0, expectedOnHand: 0 }
  for (let q = 1; q <= orderQuantity; q++) {
    const at = baseStockPerformance({ leadTimeDemand, baseStock: reorderPoint + q })
    sum.fillRate += at.fillRate / orderQuantity
    sum.readyRate += at.readyRate / orderQuantity
    sum.expectedBackorders += at.expectedBackorders / orderQuantity
    sum.expectedOnHand += at.expectedOnHand / orderQuantity
  }
  return sum
}
