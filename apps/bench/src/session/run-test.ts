import type { Reference } from '@boardwright/core'
import type { RecordedTestRun } from '@boardwright/core/workshop'
import { recordSettings } from './steps/settings.ts'
import { stimulusOf } from './stimulus.ts'
import type { RunTest } from './test-request.ts'

export interface FinishedTest {
  recorded: RecordedTestRun
  /** The reference it was judged by. */
  reference: Reference
  /** From the end of the last recording to the stored verdict, ms. */
  judgedInMs: number
}

/** Goes through a test without a board, so that the first verdict comes as quickly as the later ones. Nothing is stored. */
export function warmUp({ workshop, product }: Pick<RunTest, 'workshop' | 'product'>): void {
  workshop.prepareRun({ productId: product.id, sweep: stimulusOf(product) })
}

/**
 * Runs the settings of the test plan on the rig in turn and has the workshop judge and store them. Errors: those of the
 * rig and of `recordTestRun`; the signal's reason when it is stopped, and then nothing is stored.
 */
export async function runTest(request: RunTest): Promise<FinishedTest> {
  const { workshop, rig, product, serial } = request
  const sweep = stimulusOf(product)
  const { recordings, endedAtMs } = await recordSettings(request, sweep)
  const recorded = workshop.recordTestRun({ serial, productId: product.id, rig: rig.kind, recordings, sweep })
  const judgedInMs = performance.now() - endedAtMs
  return { recorded, reference: workshop.testRun(recorded.run.id).reference, judgedInMs }
}
