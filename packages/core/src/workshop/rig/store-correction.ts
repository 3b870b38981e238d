import { BoardwrightError } from '../../model/error.ts'
import { formatDb } from '../../model/format.ts'
import { type RigSettings, usualRigName } from '../../model/rig.ts'
import { measureRecording } from '../../response/curve/measure-recording.ts'
import type { VerbContext } from '../verb-context.ts'
import type { StoreCorrection } from './rig-verbs.ts'
import { makeVersion, needRig } from './save-rig-settings.ts'

/** A wire between the plugs of a sound interface is flat to this, dB; more is a board, or a filter. Common practice. */
const flatWithinDb = 6

/**
 * Measures what the rig itself does to a curve, from a sweep through a wire in place of the board, and keeps it with its
 * date: it is taken out of every curve that is measured through this version.
 * Errors: no-rig, recording-refused for a recording that proves nothing or that went through no wire.
 */
export function storeCorrection(context: VerbContext, what: StoreCorrection): RigSettings {
  const { name = usualRigName, sweep, recording } = what
  const settings = needRig(context, { name })
  const loopBackChannel = settings.input.loopBackChannel === null ? undefined : 1
  const { curve, usable, findings } = measureRecording({ sweep, recording, loopBackChannel })
  if (!usable || !curve) {
    const finding = findings.find(({ severity }) => severity === 'refuse')
    throw new BoardwrightError(
      'recording-refused',
      `The correction was not stored: ${finding?.message ?? 'the recording gave no curve.'}`,
      { remedy: finding?.remedy },
    )
  }
  const spreadDb = Math.max(...curve.gainDb) - Math.min(...curve.gainDb)
  if (spreadDb > flatWithinDb)
    throw new BoardwrightError(
      'recording-refused',
      `The correction was not stored: its gain varies by ${formatDb(spreadDb)} over frequency, and a wire does not do that.`,
      { remedy: 'Take the board out of the rig and plug the output into the input by a cable, then measure again.' },
    )
  const correction = { measuredAt: context.clock.now().toISOString(), ...curve }
  return makeVersion(context, { name, verb: 'store-correction', change: () => ({ correction }) })
}
