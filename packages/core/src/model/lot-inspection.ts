import { z } from 'zod'
import { LotId } from './part-lot.ts'

/** A piece of a lot that was tried, in a socketed board on the rig or by hand. */
export const LotReading = z.object({
  lotId: LotId,
  /** Counted from 1. */
  piece: z.number().int().positive(),
  at: z.iso.datetime(),
  station: z.string(),
  good: z.boolean(),
  /** The test run of the socketed board with this piece in it; null when it was not on the rig. */
  runId: z.string().nullable(),
  note: z.string(),
})
export type LotReading = z.infer<typeof LotReading>

/** How far the inspection of a lot has come. */
export interface InspectionStatus {
  /** How many pieces are to be tried. */
  sampleSize: number
  /** The lot is accepted with at most so many bad ones. */
  acceptanceNumber: number
  /** Every piece is to be tried. */
  inspectAll: boolean
  tried: number
  bad: number
  /** `more`: go on trying; `accept` and `not-accept` as soon as nothing can change it. */
  outcome: 'more' | 'accept' | 'not-accept'
}
