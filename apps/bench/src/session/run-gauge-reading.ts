import type { GaugeStep } from '@boardwright/core'
import type { GaugeProgress } from '@boardwright/core/workshop'
import type { RigWork } from './run-rig-check.ts'
import { allowFirstSound } from './steps/caution.ts'
import { recordedThrough, recordSettings } from './steps/settings.ts'
import { stimulusOf } from './stimulus.ts'

/**
 * Takes the next reading of a gauge study on the rig. Errors: those of the rig and of `gaugeStudies.addReading`;
 * contact-problem; the signal's reason when it is stopped, and then nothing is stored.
 */
export async function runGaugeReading(asked: RigWork & { studyId: number; step: GaugeStep }): Promise<GaugeProgress> {
  asked.workshop.rigChecks.needProven({ productId: asked.product.id, rig: asked.rig.kind })
  await allowFirstSound(asked)
  const rig = asked.rig.pinned?.() ?? asked.rig
  const { workshop, product, studyId, step } = asked
  const { serial, setUp, position } = step
  const request = { ...asked, rig, serial, setUp: `study ${studyId}, set-up ${setUp}` }
  const sweep = stimulusOf(product, rig.settings)
  const { recordings } = await recordSettings(request, sweep)
  const through = recordedThrough(request)
  return workshop.gaugeStudies.addReading({ studyId, position, rig: rig.kind, recordings, sweep, ...through })
}
