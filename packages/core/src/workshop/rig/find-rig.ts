import { BoardwrightError } from '../../model/error.ts'
import type { Reference } from '../../model/reference.ts'
import type { RigSettings, RigVersion } from '../../model/rig.ts'
import type { VerbContext } from '../verb-context.ts'

/** One version of a rig's settings. Errors: not-found. */
export function findRig({ store }: Pick<VerbContext, 'store'>, which: RigVersion): RigSettings {
  const settings = store.rigSettings.find(which)
  if (!settings) throw new BoardwrightError('not-found', `The rig "${which.name}" has no version ${which.version}.`)
  return settings
}

/** The settings that something was measured through; undefined for a rig without settings. Errors: not-found. */
export const rigOf = (
  context: Pick<VerbContext, 'store'>,
  which: RigVersion | null | undefined,
): RigSettings | undefined => (which ? findRig(context, which) : undefined)

/**
 * A curve with the rig taken out and one with the rig in it cannot be compared.
 * Errors: correction-differs.
 */
export function refuseOtherCorrection(
  context: Pick<VerbContext, 'store'>,
  what: { reference: Reference; rig: RigSettings | undefined },
): void {
  const { reference, rig } = what
  const isCorrected = (rig?.correction ?? null) !== null
  const wasCorrected = (rigOf(context, reference.rigSettings)?.correction ?? null) !== null
  if (isCorrected === wasCorrected) return
  throw new BoardwrightError(
    'correction-differs',
    wasCorrected
      ? `Reference ${reference.version} was measured with a loop-back correction, and this measurement has none.`
      : `Reference ${reference.version} was measured without the loop-back correction that the rig has now.`,
  )
}
