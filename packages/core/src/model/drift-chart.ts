import { z } from 'zod'
import { RigCheckSummary, RigKind } from './rig-check.ts'

/** One chart of the rig's own history: single values with their limits, and their weighted average. */
export const DriftSeries = z.object({
  quantity: z.enum(['level', 'shape']),
  /** dB, one a check, oldest first. */
  valuesDb: z.array(z.number()),
  /** Exponentially weighted moving average of the values, dB; empty while there are no control limits. */
  averageDb: z.array(z.number()),
  /** The rig limit on this quantity, dB; for the level also below zero. */
  rigLimitDb: z.number().positive(),
  /** From the rig's first checks; null while there are too few of them. */
  control: z
    .object({
      centreDb: z.number(),
      lowerDb: z.number(),
      upperDb: z.number(),
      averageLowerDb: z.number(),
      averageUpperDb: z.number(),
      /** How many checks, from the first, the limits were made of. */
      checks: z.number().int(),
    })
    .nullable(),
  /** Indices of checks that lie beyond their control limits, alone or in the average. */
  beyond: z.array(z.number().int()),
  /** A drift that shows before a limit is reached, in a sentence. */
  warning: z.string().nullable(),
})
export type DriftSeries = z.infer<typeof DriftSeries>

/** The drift of a rig since its reference was made. */
export const DriftChart = z.object({
  /** Oldest first; checks that proved nothing are left out. */
  checks: z.array(z.object({ id: z.number().int(), at: z.iso.datetime(), outcome: z.enum(['good', 'drifted']) })),
  level: DriftSeries,
  shape: DriftSeries,
})
export type DriftChart = z.infer<typeof DriftChart>

/** How a rig stands before the next unit. */
export const RigCheckStatus = z.object({
  rig: RigKind,
  productId: z.string(),
  /** `unchecked`: never; `good`; `due`: good, but the next check is due; `drifted`: work stops. */
  state: z.enum(['unchecked', 'good', 'due', 'drifted']),
  /** One sentence for the screen. */
  sentence: z.string(),
  /** A slow drift that is announced before it reaches a limit; null when there is none. */
  warning: z.string().nullable(),
  lastCheck: RigCheckSummary.nullable(),
  lastGood: RigCheckSummary.nullable(),
  /** Units tested since the last good check. */
  unitsSince: z.number().int(),
  everyUnits: z.number().int(),
  /** Units that wait to be tested again. */
  retest: z.number().int(),
})
export type RigCheckStatus = z.infer<typeof RigCheckStatus>
