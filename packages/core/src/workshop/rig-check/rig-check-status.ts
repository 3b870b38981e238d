import type { RigCheckStatus } from '../../model/drift-chart.ts'
import { formatWhen } from '../../model/format.ts'
import type { Product } from '../../model/product.ts'
import { isSamePath } from '../../model/rig.ts'
import { type RigCheck, RigCheckSummary, type RigKind, rigKindWords } from '../../model/rig-check.ts'
import { currentReference } from '../current-reference.ts'
import { findProduct } from '../find-product.ts'
import type { VerbContext } from '../verb-context.ts'
import { driftChart } from './drift-chart.ts'
import type { WhichRig } from './rig-checks.ts'

const hourMs = 3_600_000

/**
 * How a rig stands. Work stops only when the last check that decided anything found it drifted; a check that is due, or was
 * never made, is a reminder: a maker who finishes a batch with two boards to go knows better than a counter.
 *
 * A check is due: first thing in a session (the rig was neither used nor checked for `pauseHours`), after `everyUnits`
 * units, and when the reference was made anew or the rig was set up another way. Errors: not-found.
 */
export function rigCheckStatus(context: VerbContext, which: WhichRig): RigCheckStatus {
  const product = findProduct(context, which.productId)
  const { store } = context
  const { rig } = which
  const on = { productId: product.id, rig }
  const last = store.rigChecks.newest(on)
  const good = store.rigChecks.newest({ ...on, outcome: 'good' })
  const unitsSince = store.rigChecks.tested({ ...on, afterCheckId: good?.id, decided: false }).length
  const { level, shape } = driftChart(context, { ...on })
  const base = {
    ...on,
    warning: level.warning ?? shape.warning,
    lastCheck: last ? RigCheckSummary.parse(last) : null,
    lastGood: good ? RigCheckSummary.parse(good) : null,
    unitsSince,
    everyUnits: product.testPlan.rigCheck.everyUnits,
    retest: store.rigChecks.retest(product.id).length,
  }
  return { ...base, ...standing(context, { product, rig, last, good, unitsSince }) }
}

function standing(
  context: VerbContext,
  what: { product: Product; rig: RigKind; last?: RigCheck; good?: RigCheck; unitsSince: number },
): Pick<RigCheckStatus, 'state' | 'sentence'> {
  const { rig, last, good } = what
  if (last?.outcome === 'drifted') return { state: 'drifted', sentence: driftedSentence(last, rig) }
  if (!good) return { state: 'unchecked', sentence: 'The rig was never checked with the reference board.' }
  const due = dueBecause(context, { ...what, good })
  if (due) return { state: 'due', sentence: `Rig check due: ${due}.` }
  return { state: 'good', sentence: `The rig was good at its check of ${formatWhen(good.at)}.` }
}

/** One sentence for whoever wants to test on a rig that has drifted. */
export const driftedSentence = (check: Pick<RigCheck, 'reasons' | 'at'>, rig: RigKind): string => {
  const [reason] = check.reasons
  const why = `${reason.charAt(0).toLowerCase()}${reason.slice(1).replace(/\.$/, '')}`
  const subject = rigKindWords[rig]
  return `${subject.charAt(0).toUpperCase()}${subject.slice(1)} has drifted: ${why}, at the check of ${formatWhen(check.at)}.`
}

/** True when device, channel or rate of the rig were changed after the check. */
function isOtherPath({ store }: VerbContext, { rigSettings }: RigCheck): boolean {
  if (!rigSettings) return false
  const then = store.rigSettings.find(rigSettings)
  const now = store.rigSettings.newest(rigSettings.name)
  return then !== undefined && now !== undefined && !isSamePath(then, now)
}

function dueBecause(
  context: VerbContext,
  { product, rig, good, unitsSince }: { product: Product; rig: RigKind; good: RigCheck; unitsSince: number },
): string | undefined {
  const { everyUnits, pauseHours } = product.testPlan.rigCheck
  const reference = currentReference(context, product)
  if (reference && reference.version !== good.referenceVersion) return 'the reference was made anew'
  if (isOtherPath(context, good)) return 'the rig plays or records another way'
  if (unitsSince >= everyUnits) return `${unitsSince} units were tested since the last one`
  const lastRunAt = context.store.rigChecks.lastRunAt({ productId: product.id, rig })
  const lastUsed = Math.max(Date.parse(good.at), lastRunAt === undefined ? 0 : Date.parse(lastRunAt))
  const pauseMs = context.clock.now().getTime() - lastUsed
  return pauseMs >= pauseHours * hourMs ? `the rig has rested for ${Math.floor(pauseMs / hourMs)} hours` : undefined
}
