import type { Reference } from '@boardwright/core'
import type { RecordedTestRun } from '@boardwright/core/workshop'
import { allowFirstSound } from './steps/caution.ts'
import { prepareContacts } from './steps/contact.ts'
import { recordedThrough, recordSettings } from './steps/settings.ts'
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
export async function warmUp(what: Pick<RunTest, 'workshop' | 'rig' | 'product'>): Promise<void> {
  const { workshop, rig, product } = what
  workshop.prepareRun({ productId: product.id, sweep: stimulusOf(product, rig.settings) })
  await prepareContacts(what)
}

/**
 * Runs the settings of the test plan on the rig in turn and has the workshop judge and store them. Errors: those of the
 * rig and of `recordTestRun`; contact-problem; the signal's reason when it is stopped, and then nothing is stored.
 */
export async function runTest(asked: RunTest): Promise<FinishedTest> {
  asked.workshop.rigChecks.needProven({ productId: asked.product.id, rig: asked.rig.kind })
  await allowFirstSound(asked)
  const rig = asked.rig.pinned?.() ?? asked.rig
  const request = { ...asked, rig }
  const { workshop, product, serial } = request
  const sweep = stimulusOf(product, rig.settings)
  await prepareContacts(request)
  const { recordings, endedAtMs } = await recordSettings(request, sweep)
  const recorded = workshop.recordTestRun({
    serial,
    productId: product.id,
    rig: rig.kind,
    recordings,
    sweep,
    ...recordedThrough(request),
  })
  const judgedInMs = performance.now() - endedAtMs
  return { recorded, reference: workshop.testRun(recorded.run.id).reference, judgedInMs }
}
