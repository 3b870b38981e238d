import { z } from 'zod'
import { ResponseCurve } from './response-curve.ts'
import { RigVersion } from './rig.ts'
import { SweepSettings } from './sweep.ts'

/** The reference board at one setting: the mean of its runs, and how well they repeat. */
export const ReferenceSetting = z.object({
  setting: z.string(),
  runs: z.number().int().min(1),
  polarity: z.union([z.literal(1), z.literal(-1)]),
  /** Mean curve; `uncertaintyDb` is the standard uncertainty of that mean. */
  curve: ResponseCurve,
  /** Run-to-run standard deviation per point, dB; all zero for a single run. */
  repeatabilityDb: z.array(z.number().nonnegative()),
  gainAt1kHzDb: z.number(),
})
export type ReferenceSetting = z.infer<typeof ReferenceSetting>

export const Reference = z.object({
  productId: z.string(),
  revision: z.string(),
  version: z.number().int().min(1),
  createdAt: z.iso.datetime(),
  station: z.string(),
  note: z.string(),
  sweep: SweepSettings,
  /** The settings of the rig that it was measured through; null for a rig without settings. */
  rigSettings: RigVersion.nullable().default(null),
  settings: z.array(ReferenceSetting).min(1),
})
export type Reference = z.infer<typeof Reference>
