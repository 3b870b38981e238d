import { fitParts } from '../../build/fit-parts.ts'
import type { Build } from '../../model/build.ts'
import { BoardwrightError } from '../../model/error.ts'
import { findProduct } from '../find-product.ts'
import { insertUnit } from '../register-unit.ts'
import { nowOf, type VerbContext, writeJournal } from '../verb-context.ts'
import type { BuildDetail, BuildPlan, PlannedLine, StartBuild } from './build-verbs.ts'
import { planBuild } from './plan-build.ts'
import { showBuild } from './show-build.ts'

/**
 * Starts a build: takes the parts of all its units out of stock, gives the serial numbers, notes which lot went where. All of
 * it is one transaction, so two programs never take the same pieces or give the same number.
 * Errors: bad-argument, not-found, parts-list-missing, serials-used-up, stock-short.
 */
export function startBuild(context: VerbContext, what: StartBuild): BuildDetail {
  const { store, station } = context
  return store.transaction(() => {
    const plan = planBuild(context, what)
    refuseIncomplete(plan)
    const product = findProduct(context, plan.productId, plan.revision)
    const at = nowOf(context)
    const { productId, revision, serials, order, steps } = plan
    for (const serial of serials) insertUnit(context, { serial, product, state: 'building' })
    const note = (what.note ?? '').trim().slice(0, 500)
    const id = store.builds.insert({ productId, revision, startedAt: at, station, note, order, steps, serials })
    store.builds.insertFitted(fitParts({ lines: plan.lines, partsList: product.partsList!, serials }))
    const lots = issueLots(context, { plan, buildId: id, at })
    const detail = { productId, revision, serials, lots, note }
    writeJournal(context, { at, verb: 'start-build', noun: 'build', key: String(id), detail })
    return showBuild(context, id)
  })
}

/** One movement a lot. @returns pieces by lot, for the journal */
function issueLots(
  context: VerbContext,
  what: { plan: BuildPlan; buildId: Build['id']; at: string },
): Record<string, number> {
  const { store, station } = context
  const { plan, buildId, at } = what
  const taken: Record<string, number> = {}
  for (const { lotId, pieces } of plan.lines.flatMap(({ takes }) => takes)) taken[lotId] = (taken[lotId] ?? 0) + pieces
  for (const [lotId, pieces] of Object.entries(taken)) {
    const movement = {
      lotId,
      at,
      station,
      kind: 'issued' as const,
      pieces: -pieces,
      buildId,
      reworkId: null,
      reason: '',
    }
    store.stockMovements.insert(movement)
    writeJournal(context, { at, verb: 'issue-lot', noun: 'part-lot', key: lotId, detail: { pieces, buildId } })
  }
  return taken
}

function refuseIncomplete({ productId, revision, unlisted, lines, units }: BuildPlan): void {
  if (unlisted.length > 0)
    throw new BoardwrightError(
      'parts-list-missing',
      `The parts list of ${productId} revision ${revision} says nothing of ${unlisted.slice(0, 8).join(', ')}.`,
    )
  const short = lines.filter((line) => line.short > 0)
  if (short.length > 0)
    throw new BoardwrightError('stock-short', `For ${units} units there is too little of ${words(short)}.`)
}

function words(short: readonly PlannedLine[]): string {
  const named = short.slice(0, 4).map((line) => `${line.part} (${line.short} of ${line.needed} missing)`)
  return named.join(', ') + (short.length > named.length ? ` and ${short.length - named.length} more` : '')
}
