import { referenceBoardSerial } from '@boardwright/core'
import type { RecordedRigCheck } from '@boardwright/core/workshop'
import { allowFirstSound } from './steps/caution.ts'
import { recordedThrough, recordSettings } from './steps/settings.ts'
import { stimulusOf } from './stimulus.ts'
import type { RunTest } from './test-request.ts'

/** What a rig work needs to run: a test without its unit. */
export type RigWork = Omit<RunTest, 'serial' | 'setUp'>

/**
 * Measures the reference board as a unit would be, and has the workshop judge the rig by it. Errors: those of the rig and of
 * `rigChecks.record`; contact-problem; the signal's reason when it is stopped, and then nothing is stored.
 */
export async function runRigCheck(asked: RigWork): Promise<RecordedRigCheck> {
  await allowFirstSound(asked)
  const rig = asked.rig.pinned?.() ?? asked.rig
  const request = { ...asked, rig, serial: referenceBoardSerial, setUp: `check ${Date.now()}` }
  const { workshop, product } = request
  const sweep = stimulusOf(product, rig.settings)
  const { recordings } = await recordSettings(request, sweep)
  const through = recordedThrough(request)
  return workshop.rigChecks.record({ productId: product.id, rig: rig.kind, recordings, sweep, ...through })
}
