import { z } from 'zod'

/** How often something was right, with the limits that the count allows. */
export const HitRate = z.object({
  hits: z.number().int().nonnegative(),
  cases: z.number().int().nonnegative(),
  /** null without a case. */
  rate: z.number().min(0).max(1).nullable(),
  /** Clopper-Pearson limits; 0 and 1 without a case. */
  lower: z.number().min(0).max(1),
  upper: z.number().min(0).max(1),
})
export type HitRate = z.infer<typeof HitRate>

/**
 * How good the diagnoses were. A case is a failed run that was diagnosed, then reworked, then tested again. It counts when
 * the new test decides: after a `pass` the suspect was right if its part was reworked, and wrong if another part was; after
 * another `fail` it was wrong if its part was reworked. What is left stays undecided.
 */
export const DiagnosisFigures = z.object({
  /** Confidence of the limits, such as 0.95. */
  confidence: z.number(),
  /** The first suspect named a reworked part. */
  first: HitRate,
  /** One of the first three suspects did. */
  firstThree: HitRate,
  /** Reworked after a diagnosis, and not tested since. */
  waiting: z.number().int().nonnegative(),
  /** Tested again without deciding anything about the suspects. */
  undecided: z.number().int().nonnegative(),
})
export type DiagnosisFigures = z.infer<typeof DiagnosisFigures>
