import { z } from 'zod'
import { LotId } from './part-lot.ts'

/** `issued` to a build, `returned` from one; `corrected` after a count; `used-in-rework` fitted into a finished unit. */
export const movementKinds = ['received', 'issued', 'returned', 'corrected', 'used-in-rework'] as const
export const MovementKind = z.enum(movementKinds)
export type MovementKind = z.infer<typeof MovementKind>

/** One change of a lot's stock. Movements are only ever added; the stock is their sum. */
export const StockMovement = z.object({
  id: z.number().int().positive(),
  lotId: LotId,
  at: z.iso.datetime(),
  station: z.string(),
  kind: MovementKind,
  /** Pieces that came (above zero) or went (below). */
  pieces: z
    .number()
    .int()
    .refine((pieces) => pieces !== 0, 'a movement moves something'),
  buildId: z.number().int().positive().nullable(),
  reworkId: z.number().int().positive().nullable(),
  /** Why, where a person must say it. */
  reason: z.string(),
})
export type StockMovement = z.infer<typeof StockMovement>
