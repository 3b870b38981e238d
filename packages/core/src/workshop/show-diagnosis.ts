import { noEvidence, type RunDiagnosis } from '../model/run-diagnosis.ts'
import { findProduct } from './find-product.ts'
import type { Store } from './ports.ts'
import { showTestRun } from './show-test-run.ts'
import { nowOf, type VerbContext } from './verb-context.ts'
import { workOutDiagnosis } from './work-out-diagnosis.ts'

/** The last few that were worked out for looking at: a page asks again whenever anything has changed. */
const lookedAt = new WeakMap<Store, Map<string, RunDiagnosis>>()
const mostLookedAt = 16

/**
 * The last diagnosis of a run; where none was kept, one that is worked out now and not kept: to look at a page changes
 * nothing. Errors: not-diagnosable, not-found.
 */
export async function showDiagnosis(context: VerbContext, runId: string): Promise<RunDiagnosis> {
  const kept = context.store.diagnoses.latest(runId)
  if (kept) return kept
  const known = lookedAt.get(context.store) ?? new Map<string, RunDiagnosis>()
  lookedAt.set(context.store, known)
  const found = known.get(runId)
  if (found) return found
  const { run, reference } = showTestRun(context, runId)
  const product = findProduct(context, run.productId, run.revision)
  const diagnosis = await workOutDiagnosis({ product, run, reference, evidence: noEvidence })
  const { serial } = run
  const head = { id: null, runId, serial, at: nowOf(context), station: context.station }
  const made: RunDiagnosis = { ...head, evidence: noEvidence, diagnosis }
  if (known.size >= mostLookedAt) known.clear()
  known.set(runId, made)
  return made
}
