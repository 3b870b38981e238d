import { BoardwrightError } from '../model/error.ts'
import { requirePositive } from './check-argument.ts'

/** Economic order quantity and its yearly cost; costs in one currency. */
export interface EconomicOrder {
  quantity: number
  ordersPerYear: number
  /** Of ordering and holding together, without the goods. */
  costPerYear: number
}

/** Yearly cost of ordering and holding for any quantity. Source: Harris 1913. Throws `bad-argument`. */
export function orderAndHoldingCost(options: {
  annualDemand: number
  orderCost: number
  holdingCostPerUnitYear: number
  quantity: number
}): number {
  for (const [name, value] of Object.entries(options)) requirePositive(name, value)
  const { annualDemand, orderCost, holdingCostPerUnitYear, quantity } = options
  return (annualDemand / quantity) * orderCost + (quantity / 2) * holdingCostPerUnitYear
}

/**
 * Order quantity of least cost for steady demand: sqrt(2 D K / h).
 * Source: Harris, "How many parts to make at once", Factory 10 (1913). Throws `bad-argument`.
 */
export function economicOrder(options: {
  annualDemand: number
  orderCost: number
  holdingCostPerUnitYear: number
}): EconomicOrder {
  for (const [name, value] of Object.entries(options)) requirePositive(name, value)
  const { annualDemand, orderCost, holdingCostPerUnitYear } = options
  const quantity = Math.sqrt((2 * annualDemand * orderCost) / holdingCostPerUnitYear)
  return {
    quantity,
    ordersPerYear: annualDemand / quantity,
    costPerYear: orderAndHoldingCost({ ...options, quantity }),
  }
}

/** A price that holds for all units of an order of at least so many. */
export interface PriceBreak {
  from: number
  unitPrice: number
}

/** A quantity worth ordering, with its yearly cost, goods included. */
export interface PricedOrder {
  quantity: number
  unitPrice: number
  totalPerYear: number
}

/**
 * Order quantity of least cost when the price falls with the quantity (all-units discount).
 * Source: Hadley and Whitin, "Analysis of Inventory Systems", 2-11: the best is the economic quantity of a price, moved
 * up to where that price begins, or not taken when it lies beyond where the next begins.
 * @param options.holdingRate yearly holding cost as a share of the price
 * Throws `bad-argument`.
 */
export function economicOrderWithBreaks(options: {
  annualDemand: number
  orderCost: number
  holdingRate: number
  priceBreaks: readonly PriceBreak[]
}): { best: PricedOrder; candidates: PricedOrder[] } {
  const { annualDemand, orderCost, holdingRate } = options
  requirePositive('The holding rate', holdingRate)
  const breaks = options.priceBreaks.toSorted((a, b) => a.from - b.from)
  const candidates = breaks.flatMap(({ from, unitPrice }, i): PricedOrder[] => {
    requirePositive('A unit price', unitPrice)
    const rates = { annualDemand, orderCost, holdingCostPerUnitYear: holdingRate * unitPrice }
    const quantity = Math.max(from, economicOrder(rates).quantity)
    if (quantity >= (breaks[i + 1]?.from ?? Number.POSITIVE_INFINITY)) return []
    const totalPerYear = annualDemand * unitPrice + orderAndHoldingCost({ ...rates, quantity })
    return [{ quantity, unitPrice, totalPerYear }]
  })
  const best = candidates.toSorted((a, b) => a.totalPerYear - b.totalPerYear)[0]
  if (!best) throw new BoardwrightError('bad-argument', 'There is no price to order at.')
  return { best, candidates }
}
