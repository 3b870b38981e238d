import { BoardwrightError } from '../../model/error.ts'
import type { Product } from '../../model/product.ts'
import type { Reference } from '../../model/reference.ts'
import type { RigSettings } from '../../model/rig.ts'
import { type RigCheck, rigKindOf } from '../../model/rig-check.ts'
import {
  needEverySetting,
  refuseRepeatedSettings,
  refuseSameRecording,
  refuseUnknownSettings,
} from '../check-recordings.ts'
import { currentReference } from '../current-reference.ts'
import { findProduct } from '../find-product.ts'
import { measureOnce } from '../measure-ahead.ts'
import { refuseOtherCorrection, rigOf } from '../rig/find-rig.ts'
import { nowOf, type VerbContext, writeJournal } from '../verb-context.ts'
import { judgeRigCheck } from './judge-rig-check.ts'
import { rigCheckStatus } from './rig-check-status.ts'
import type { RecordedRigCheck, RecordRigCheck } from './rig-checks.ts'

/**
 * Measures the reference board, judges the rig by its limits and stores the check with the units it puts in doubt.
 * Errors: bad-argument, correction-differs, no-reference, not-found, recording-twice, setting-missing, setting-unknown, sweep-mismatch.
 */
export function recordRigCheck(context: VerbContext, what: RecordRigCheck): RecordedRigCheck {
  const { product, reference, through } = prepare(context, what)
  const plan = product.testPlan
  const measurements = what.recordings.map(
    (recording) => measureOnce({ ...what, recording, plan, through }).measurement,
  )
  const { limitDb, levelLimitDb } = plan.rigCheck
  const limits = { limitDb, levelLimitDb }
  const judged = judgeRigCheck({ plan, limits, reference, measurements })
  const draft: Omit<RigCheck, 'id'> = {
    at: nowOf(context),
    station: context.station,
    productId: product.id,
    revision: product.revision,
    rig: what.rig,
    rigSettings: what.rigSettings ?? null,
    referenceVersion: reference.version,
    limits,
    ...judged,
  }
  return context.store.transaction(() => {
    const doubtful = draft.outcome === 'drifted' ? doubtfulUnits(context, { product, reference, rig: what.rig }) : []
    const check = context.store.rigChecks.insert({ check: draft, doubtful })
    const { at, rig, outcome, levelDb, shapeDb } = check
    const serials = doubtful.map(({ serial }) => serial)
    const detail = { productId: product.id, rig, outcome, levelDb, shapeDb, doubtful: serials }
    writeJournal(context, { at, verb: 'record-rig-check', noun: 'rig-check', key: String(check.id), detail })
    const listed = context.store.rigChecks.retest(product.id)
    return {
      check,
      doubtful: listed.filter(({ checkId }) => checkId === check.id),
      status: rigCheckStatus(context, { productId: product.id, rig: rigKindOf(rig) }),
    }
  })
}

function prepare(
  context: VerbContext,
  what: RecordRigCheck,
): { product: Product; reference: Reference; through: RigSettings | undefined } {
  const product = findProduct(context, what.productId)
  const reference = currentReference(context, product)
  if (!reference)
    throw new BoardwrightError('no-reference', `${product.name} revision ${product.revision} has no reference yet.`)
  refuseRepeatedSettings(what.recordings)
  refuseUnknownSettings(product, what.recordings)
  needEverySetting(product, what.recordings)
  refuseSameRecording(what.recordings)
  const through = rigOf(context, what.rigSettings)
  refuseOtherCorrection(context, { reference, rig: through })
  return { product, reference, through }
}

/**
 * Every unit whose tests since the last good check stand on a rig in doubt, but those that wait already. Where no check was
 * ever good, making the reference is what proved the rig last.
 */
function doubtfulUnits(
  { store }: VerbContext,
  what: { product: Product; reference: Reference; rig: RigCheck['rig'] },
): { serial: string; runId: string }[] {
  const which = { productId: what.product.id, rig: rigKindOf(what.rig) }
  const good = store.rigChecks.newest({ ...which, outcome: 'good' })
  const waiting = new Set(store.rigChecks.retest(which.productId).map(({ serial }) => serial))
  const since = good ? undefined : what.reference.createdAt
  return store.rigChecks
    .tested({ ...which, afterCheckId: good?.id, since, decided: true })
    .filter(({ serial }) => !waiting.has(serial))
}
