import { BoardwrightError } from '../model/error.ts'
import { requireCount } from './check-argument.ts'

/** So many units of stock with what they cost together, in minor units of one currency. */
export interface CostedStock {
  count: number
  totalMinor: number
}

/** What an issue cost, and what is left. */
export interface CostedIssue {
  issued: CostedStock
  left: CostedStock
}

function check(stock: readonly CostedStock[], count: number): void {
  requireCount('The number issued', count)
  for (const layer of stock) {
    requireCount('A count of stock', layer.count)
    requireCount('A cost of stock', layer.totalMinor)
  }
  const onHand = stock.reduce((sum, layer) => sum + layer.count, 0)
  if (count > onHand) throw new BoardwrightError('bad-argument', `Only ${onHand} are on hand; ${count} were asked for.`)
}

/** Takes some of a layer; the cent that does not divide stays with what is left, so that none is lost. */
function take(layer: CostedStock, count: number): CostedIssue {
  const share = layer.count === 0 ? 0 : Math.floor((layer.totalMinor * count) / layer.count + 0.5)
  const totalMinor = count === layer.count ? layer.totalMinor : Math.min(layer.totalMinor, share)
  return {
    issued: { count, totalMinor },
    left: { count: layer.count - count, totalMinor: layer.totalMinor - totalMinor },
  }
}

const add = (a: CostedStock, b: CostedStock): CostedStock => ({
  count: a.count + b.count,
  totalMinor: a.totalMinor + b.totalMinor,
})

/** Stock of several receipts as one, at its average cost. */
export const averageStock = (receipts: readonly CostedStock[]): CostedStock =>
  receipts.reduce(add, { count: 0, totalMinor: 0 })

/**
 * Issue at the moving weighted average cost. Source: IAS 2, paragraphs 25 and 27. Rounded to the minor unit; what is
 * issued and what is left always add up to what was there. Throws `bad-argument` when there is not enough.
 */
export function issueAtAverageCost(options: { stock: CostedStock; count: number }): CostedIssue {
  check([options.stock], options.count)
  return take(options.stock, options.count)
}

/**
 * Issue from the oldest receipt first. Source: IAS 2, paragraphs 25 and 27. Throws `bad-argument` when there is not
 * enough.
 * @param options.receipts oldest first
 */
export function issueFirstInFirstOut(options: { receipts: readonly CostedStock[]; count: number }): {
  issued: CostedStock
  left: CostedStock[]
} {
  check(options.receipts, options.count)
  let wanted = options.count
  let issued: CostedStock = { count: 0, totalMinor: 0 }
  const left: CostedStock[] = []
  for (const layer of options.receipts) {
    const taken = take(layer, Math.min(wanted, layer.count))
    wanted -= taken.issued.count
    issued = add(issued, taken.issued)
    if (taken.left.count > 0) left.push(taken.left)
  }
  return { issued, left }
}
