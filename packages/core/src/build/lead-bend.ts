import type { BodyShape, Placement } from '../model/placement.ts'

/** How the leads of a part are formed for its holes. */
export interface LeadBend {
  /** Distance of the holes, mm, to a hundredth. */
  pitchMm: number
  words: string
}

/** Bodies that come with straight leads to be bent. */
const bentBodies: readonly BodyShape[] = ['axial', 'diode']
/** Bodies whose leads come at a pitch of their own. */
const standingBodies: readonly BodyShape[] = ['radial', 'film-box', 'disc']
/** So much a lead gives without being formed. Common practice, no source. */
const givesMm = 0.3

/**
 * To what the leads of a part are bent: the distance of its two pads.
 * @param options.leadPitchMm of the part as it comes, where it has one
 * @returns undefined for a part that is not formed
 */
export function leadBend(options: {
  placement: Pick<Placement, 'body' | 'pads'>
  leadPitchMm?: number
}): LeadBend | undefined {
  const { placement, leadPitchMm } = options
  const { body, pads } = placement
  if (pads.length !== 2) return undefined
  const [one, other] = pads as [Placement['pads'][0], Placement['pads'][0]]
  const pitchMm = Math.round(100 * Math.hypot(one.xMm - other.xMm, one.yMm - other.yMm)) / 100
  if (bentBodies.includes(body)) return { pitchMm, words: `bend the leads to ${pitchMm} mm` }
  if (!standingBodies.includes(body)) return undefined
  if (leadPitchMm !== undefined && Math.abs(leadPitchMm - pitchMm) > givesMm)
    return { pitchMm, words: `form the leads from ${leadPitchMm} mm to ${pitchMm} mm` }
  return { pitchMm, words: `leads at ${pitchMm} mm, as they come` }
}
