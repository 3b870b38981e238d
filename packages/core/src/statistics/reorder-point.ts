import { type CountLaw, countQuantile, countTails } from './count-law.ts'

/** When to order again. */
export interface ReorderPoint {
  /** Order when stock on hand plus on order falls to this. */
  reorderPoint: number
  /** Probability that the stock lasts until the delivery. */
  serviceLevel: number
  /** What is kept above the expected demand. */
  safetyStock: number
}

/**
 * Smallest reorder point that lasts through a delivery time with the stated probability (cycle service level).
 * Source: smallest r with P(demand <= r) >= level; Hadley and Whitin, "Analysis of Inventory Systems", chapter 4.
 * @param options.leadTimeDemand demand from order to delivery
 * @param options.serviceLevel strictly between 0 and 1; throws `bad-argument`
 */
export function reorderPoint(options: { leadTimeDemand: CountLaw; serviceLevel: number }): ReorderPoint {
  const { leadTimeDemand } = options
  const point = countQuantile(leadTimeDemand, options.serviceLevel)
  return {
    reorderPoint: point,
    serviceLevel: countTails(leadTimeDemand, point).lower,
    safetyStock: point - leadTimeDemand.mean,
  }
}
