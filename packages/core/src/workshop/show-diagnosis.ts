import { noEvidence, type RunDiagnosis } from '../model/run-diagnosis.ts'
import { findProduct } from './find-product.ts'
import { showTestRun } from './show-test-run.ts'
import { nowOf, type VerbContext } from './verb-context.ts'
import { workOutDiagnosis } from './work-out-diagnosis.ts'

/**
 * The last diagnosis of a run; where none was kept, one that is worked out now and not kept: to look at a page changes
 * nothing. Errors: not-diagnosable, not-found.
 */
export async function showDiagnosis(context: VerbContext, runId: string): Promise<RunDiagnosis> {
  const { run, reference } = showTestRun(context, runId)
  const kept = context.store.diagnoses.latest(runId)
  if (kept) return kept
  const product = findProduct(context, run.productId, run.revision)
  const diagnosis = await workOutDiagnosis({ product, run, reference, evidence: noEvidence })
  const { serial } = run
  return { id: null, runId, serial, at: nowOf(context), station: context.station, evidence: noEvidence, diagnosis }
}
