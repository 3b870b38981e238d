import type { Judgement } from '../model/verdict.ts'
import { findProduct } from './find-product.ts'
import { withRigUncertainty } from './gauge-study/with-rig-uncertainty.ts'
import { judgeRun } from './judge-run.ts'
import { measureAgain } from './measure-again.ts'
import { rigOf } from './rig/find-rig.ts'
import { showTestRun } from './show-test-run.ts'
import type { VerbContext } from './verb-context.ts'

/**
 * Computes the judgement of a run again from what is stored: the curve from the impulse response and the rig's settings of
 * that time, then the judge with the reference version, the rig's uncertainty and the frozen product revision (test plan
 * and circuit) of the run. Distortion, noise and findings are the stored ones, for the recording itself is not kept; so is a curve that came of several sweeps or of a loop-back.
 * Errors: not-found, file-damaged.
 */
export function rejudge(context: Pick<VerbContext, 'store'>, id: string): Judgement {
  const { store } = context
  return store.snapshot(() => {
    const { run, reference } = showTestRun(context, id)
    const product = findProduct(context, run.productId, run.revision)
    const correction = rigOf(context, run.rigSettings)?.correction
    const measurements = measureAgain(run, store.testRuns.impulseResponses(id), correction)
    const judgedBy = withRigUncertainty(product, run.rigUncertainty)
    return judgeRun({ product: judgedBy, reference, measurements })
  })
}
