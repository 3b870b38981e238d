import { BoardwrightError } from '../model/error.ts'
import type { Reference } from '../model/reference.ts'
import type { TestRun } from '../model/test-run.ts'
import type { VerbContext } from './verb-context.ts'

/** A test run and the reference it was judged by. Errors: not-found. */
export function showTestRun({ store }: Pick<VerbContext, 'store'>, id: string): { run: TestRun; reference: Reference } {
  return store.snapshot(() => {
    const run = store.testRuns.find(id)
    if (!run) throw new BoardwrightError('not-found', `There is no test run ${id} in this workshop.`)
    const reference = store.references.find({ productId: run.productId, version: run.referenceVersion })
    if (!reference)
      throw new BoardwrightError('file-damaged', `Reference ${run.referenceVersion} of test run ${id} is gone.`)
    return { run, reference }
  })
}
