import type { RigUncertainty } from '../../model/rig-uncertainty.ts'
import { findProduct } from '../find-product.ts'
import type { WhichRig } from '../rig-check/rig-checks.ts'
import { nowOf, type VerbContext, writeJournal } from '../verb-context.ts'
import { findStudy } from './find-study.ts'
import { studyResult } from './study-result.ts'

/**
 * Makes the uncertainty that a study found the next version of the rig's: units tested from now on are judged by it, older
 * verdicts keep what they were judged by. Errors: gauge-study-open, not-found.
 */
export function acceptStudy(context: VerbContext, id: number): RigUncertainty {
  const { store, station } = context
  return store.transaction(() => {
    const { rigUncertaintyDb } = studyResult(context, id).effect
    const { productId, rig, startedAt, readings } = findStudy(context, id)
    const at = nowOf(context)
    const source = `gauge study ${id} of ${startedAt.slice(0, 10)}, ${readings} readings`
    const version = store.rigUncertainties.insert({
      productId,
      rig,
      at,
      station,
      studyId: id,
      rigUncertaintyDb,
      source,
    })
    const detail = { productId, rig, version, rigUncertaintyDb, source }
    writeJournal(context, { at, verb: 'accept-gauge-study', noun: 'gauge-study', key: String(id), detail })
    return { version, studyId: id, rigUncertaintyDb, source }
  })
}

/** Lets the test plan's own figure count again, as a version of its own. Errors: not-found. */
export function acceptPlan(context: VerbContext, which: WhichRig): void {
  const { store, station } = context
  store.transaction(() => {
    const product = findProduct(context, which.productId)
    const on = { productId: product.id, rig: which.rig }
    if (!store.rigUncertainties.inForce(on)) return
    const at = nowOf(context)
    const version = store.rigUncertainties.insert({
      ...on,
      at,
      station,
      studyId: null,
      rigUncertaintyDb: null,
      source: 'test plan',
    })
    const detail = { ...on, version, rigUncertaintyDb: product.testPlan.rigUncertaintyDb }
    writeJournal(context, { at, verb: 'accept-plan', noun: 'gauge-study', key: product.id, detail })
  })
}
