import type { TestRun } from '../model/test-run.ts'
import type { Judgement } from '../model/verdict.ts'
import { planHash } from '../response/judge/plan-hash.ts'
import { findProduct } from './find-product.ts'
import { withRigUncertainty } from './gauge-study/with-rig-uncertainty.ts'
import { rejudge } from './rejudge.ts'
import { showTestRun } from './show-test-run.ts'
import type { VerbContext } from './verb-context.ts'

/**
 * How far a deviation that is computed again may differ from the stored one, dB: rounding of another processor or a newer
 * mathematical library, and far below what any rig can measure.
 */
const roundingDb = 1e-4

/** Computes a run's judgement again; in words what differs from the stored one, undefined when nothing does. */
export function verdictDifference(context: Pick<VerbContext, 'store'>, id: string): string | undefined {
  const { run, reference } = showTestRun(context, id)
  const product = findProduct(context, run.productId, run.revision)
  const { testPlan: plan } = withRigUncertainty(product, run.rigUncertainty)
  const again = rejudge(context, id)
  // A newer program may judge by other rules; then only another verdict is worth a word.
  const sameRules = planHash({ plan, reference }) === run.planHash
  const rules = sameRules ? '' : ' by the rules of this program, which are not those of the run'
  if (again.verdict !== run.verdict || run.judgement.verdict !== run.verdict)
    return `Test run ${id} says "${run.verdict}", but computed again${rules} it is "${again.verdict}".`
  const worst = largestDifferenceDb(run, again)
  if (sameRules && worst > roundingDb)
    return `Test run ${id}: a deviation computed again differs by ${worst.toPrecision(2)} dB from the stored one.`
  return undefined
}

function largestDifferenceDb(run: TestRun, again: Judgement): number {
  let worst = 0
  for (const stored of run.judgement.settings) {
    const other = again.settings.find((setting) => setting.setting === stored.setting)
    if (other?.deviationDb.length !== stored.deviationDb.length) return Number.POSITIVE_INFINITY
    stored.deviationDb.forEach((value, i) => {
      worst = Math.max(worst, Math.abs(value - other.deviationDb[i]))
    })
  }
  return worst
}
