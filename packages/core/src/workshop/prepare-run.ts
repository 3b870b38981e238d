import { practiceRecording } from '../response/curve/prepare-measurement.ts'
import { planHash } from '../response/judge/plan-hash.ts'
import { currentReference } from './current-reference.ts'
import { findProduct } from './find-product.ts'
import { judgeRun } from './judge-run.ts'
import { learnHealthyBoards } from './learn-healthy-boards.ts'
import { measureSetting } from './measure-setting.ts'
import { planSweep } from './plan-sweep.ts'
import type { VerbContext } from './verb-context.ts'
import type { PrepareRun } from './workshop.ts'

/**
 * Goes through a whole test with a practice recording and forgets it: the inverse of the stimulus is made, what healthy
 * boards look like is learnt, the code is compiled, so that the first verdict comes as quickly as the later ones.
 * Errors: not-found, sweep-mismatch.
 */
export function prepareRun(context: VerbContext, what: PrepareRun): void {
  const product = findProduct(context, what.productId)
  const plan = product.testPlan
  const sweep = what.sweep ?? planSweep(plan, plan.stimulus.rateHz)
  const audio = practiceRecording(sweep)
  const { measurement } = measureSetting({ recording: { setting: plan.settings[0], origin: '', audio }, plan, sweep })
  learnHealthyBoards(context, product)
  const reference = currentReference(context, product)
  if (!reference) return
  const measurements = plan.settings.map((setting) => ({ ...measurement, setting }))
  judgeRun({ product, reference, measurements })
  planHash({ plan, reference })
}
