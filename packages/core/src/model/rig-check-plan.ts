import { z } from 'zod'

/**
 * When the rig is to be proven with the reference board, and how far it may be off. The defaults are common practice, no
 * source: a third of what the narrowest usual band allows a board.
 */
export const RigCheckPlan = z.object({
  /** So many units may be tested before the next check is due. */
  everyUnits: z.number().int().min(1).max(10_000).default(20),
  /** A session begins when the rig has not been used for so long: then the first thing is a check. */
  pauseHours: z.number().positive().max(1000).default(4),
  /** Largest permitted deviation of the curve's shape from the reference's, the level at 1 kHz taken out, dB. */
  limitDb: z.number().positive().default(0.3),
  /** Largest permitted difference of the level at 1 kHz from the reference's, dB. */
  levelLimitDb: z.number().positive().default(0.2),
})
export type RigCheckPlan = z.infer<typeof RigCheckPlan>
