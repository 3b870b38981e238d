import { kitList } from '../../build/kit-list.ts'
import { placingSteps } from '../../build/placing-steps.ts'
import { usualSteps } from '../../build/usual-steps.ts'
import { BoardwrightError } from '../../model/error.ts'
import type { PartVersion } from '../../model/part.ts'
import type { LotInStock } from '../../model/part-lot.ts'
import { unlistedPlaces } from '../../model/parts-list.ts'
import type { PlacingOrder, WorkStep } from '../../model/procedure.ts'
import type { Product } from '../../model/product.ts'
import { findProduct } from '../find-product.ts'
import type { VerbContext } from '../verb-context.ts'
import type { BuildPlan, PlanBuild, PlannedLine } from './build-verbs.ts'
import { nextSerials } from './next-serials.ts'

const mostUnits = 500
const dayMs = 86_400_000

/**
 * What a build would take, from which lots, and what is short until when; the serial numbers it would get; its work steps.
 * Call it inside a transaction or snapshot. Errors: bad-argument, not-found, parts-list-missing, serials-used-up.
 */
export function planBuild(context: VerbContext, what: PlanBuild): BuildPlan {
  const { units } = what
  if (!Number.isInteger(units) || units < 1 || units > mostUnits)
    throw new BoardwrightError('bad-argument', `A build has 1 to ${mostUnits} units, not ${units}.`)
  const product = findProduct(context, what.productId, what.revision)
  const { partsList } = product
  if (!partsList || partsList.length === 0)
    throw new BoardwrightError('parts-list-missing', `${product.name} revision ${product.revision} has no parts list.`)
  const { store } = context
  const lots = store.partLots.list({})
  const parts = new Map(store.parts.list().map((part) => [part.number, part]))
  const order = what.order ?? product.procedure?.order ?? 'inside-out'
  const { lines, complete } = kitList({ partsList, units, lots })
  const unlisted = unlistedPlaces(product)
  const now = context.clock.now()
  return {
    productId: product.id,
    revision: product.revision,
    units,
    order,
    lines: lines.map((line) => plannedLine({ line, part: parts.get(line.part), lots, now })),
    unlisted,
    ready: complete && unlisted.length === 0,
    serials: nextSerials(context, { product, units, firstNumber: what.firstNumber }),
    steps: stepsOf({ product, parts, order }),
  }
}

function plannedLine(options: {
  line: BuildPlan['lines'][0] | Omit<PlannedLine, 'value' | 'known' | 'expectedOn' | 'waiting'>
  part: PartVersion | undefined
  lots: readonly LotInStock[]
  now: Date
}): PlannedLine {
  const { line, part, lots, now } = options
  const days = part?.leadTimeDays
  const candidates = [line.part, ...line.alternatives]
  const waiting = lots.flatMap(({ id, part: number, state, stock }) =>
    (state === 'held' || state === 'awaiting-inspection') && stock > 0 && candidates.includes(number)
      ? [{ lotId: id, state, stock }]
      : [],
  )
  const isShort = line.short > 0 && days !== undefined
  const expectedOn = isShort ? new Date(now.getTime() + days * dayMs).toISOString().slice(0, 10) : null
  return { ...line, value: part?.value ?? '', known: part !== undefined, expectedOn, waiting }
}

function stepsOf(options: {
  product: Product
  parts: ReadonlyMap<string, PartVersion>
  order: PlacingOrder
}): WorkStep[] {
  const { product, parts, order } = options
  const { partsList = [], board, procedure } = product
  return [...placingSteps({ partsList, board, parts, order }), ...(procedure?.steps ?? usualSteps)]
}
