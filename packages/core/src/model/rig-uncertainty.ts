import { z } from 'zod'

/** The rig's own standard uncertainty as a gauge study found it, and where it comes from. It stands with each run. */
export const RigUncertainty = z.object({
  /** Counts up with each study that is taken over, for a product on one kind of rig. */
  version: z.number().int().min(1),
  studyId: z.number().int().positive(),
  rigUncertaintyDb: z.number().nonnegative(),
  /** In words: "gauge study 3 of 2026-11-25, 30 readings". */
  source: z.string().min(1),
})
export type RigUncertainty = z.infer<typeof RigUncertainty>
