import { BoardwrightError } from '../model/error.ts'
import { requireFinite } from './check-argument.ts'
import { type CountLaw, countQuantile } from './count-law.ts'
import { normalQuantile } from './normal.ts'

/** Demand of a single season: a count, or a normal quantity. */
export type SeasonDemand = CountLaw | { kind: 'normal'; mean: number; standardDeviation: number }

/**
 * How much to make or buy once, when what is left over is worth less.
 * Source: Arrow, Harris and Marschak, Econometrica 19 (1951) 250-272: critical fractile (price - cost) / (price -
 * salvage). The quantity is whole for a count. Costs in one currency and unit. Throws `bad-argument`.
 */
export function newsvendorQuantity(options: {
  unitCost: number
  price: number
  salvage: number
  demand: SeasonDemand
}): { criticalRatio: number; quantity: number } {
  const { unitCost, price, salvage, demand } = options
  for (const [name, value] of Object.entries({ unitCost, price, salvage })) requireFinite(name, value)
  if (!(price > unitCost && unitCost > salvage)) {
    throw new BoardwrightError('bad-argument', 'The price must exceed the cost, and the cost the salvage value.')
  }
  const criticalRatio = (price - unitCost) / (price - salvage)
  const quantity =
    demand.kind === 'normal'
      ? demand.mean + demand.standardDeviation * normalQuantile({ probability: criticalRatio })
      : countQuantile(demand, criticalRatio)
  return { criticalRatio, quantity }
}
