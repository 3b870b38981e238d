import { BoardwrightError } from '../../model/error.ts'
import type { HardJudgement, HardReference, HardRun } from '../../model/hard-run.ts'
import { findProduct } from '../find-product.ts'
import type { VerbContext } from '../verb-context.ts'
import { judgeHardRun } from './judge-hard-run.ts'

/** A run and the signature it was compared with. Errors: not-found. */
export function showHardRun(
  { store }: Pick<VerbContext, 'store'>,
  id: string,
): { run: HardRun; reference: HardReference } {
  const run = store.hardRuns.find(id)
  if (!run) throw new BoardwrightError('not-found', `No board was pressed hard under number ${id}.`)
  const reference = store.hardReferences.find({ productId: run.productId, version: run.referenceVersion })
  if (!reference) throw new Error(`hard run ${id} has no reference`)
  return { run, reference }
}

/** Computes the judgement of a run again from what is stored. Errors: not-found. */
export function rejudgeHard(context: Pick<VerbContext, 'store'>, id: string): HardJudgement {
  return context.store.snapshot(() => {
    const { run, reference } = showHardRun(context, id)
    const product = findProduct(context, run.productId, run.revision)
    return judgeHardRun({ product, reference, signature: run.signature })
  })
}

/** What differs when the verdict is computed again, in words; undefined when nothing does. */
export function hardVerdictDifference(context: Pick<VerbContext, 'store'>, id: string): string | undefined {
  const { run } = showHardRun(context, id)
  const again = rejudgeHard(context, id)
  if (again.verdict === run.verdict && run.judgement.verdict === run.verdict) return undefined
  return `Hard run ${id} says "${run.verdict}", but computed again it is "${again.verdict}".`
}
