import { z } from 'zod'
import { PartNumber } from './part.ts'
import { PartPrice } from './price.ts'

/** `accepted` may be built in; `held` waits for a decision; `refused` goes back; `awaiting-inspection` waits for its pieces to be tried. */
export const lotStates = ['accepted', 'held', 'refused', 'awaiting-inspection'] as const
export const LotState = z.enum(lotStates)
export type LotState = z.infer<typeof LotState>

/** What the bag or drawer of a lot is labelled with; stored in capitals. */
export const LotId = z
  .string()
  .trim()
  .toUpperCase()
  .regex(
    /^[A-Z0-9](?:[A-Z0-9._-]{0,30}[A-Z0-9])?$/,
    'a lot is named with 1 to 32 letters, digits, points and hyphens, such as L-0007',
  )

/** A value that was measured on a piece before it was fitted, with its unit in words: { name: "resistance", value: "46.9 kohm" }. */
export const SampleMeasurement = z.object({
  piece: z.number().int().positive(),
  name: z.string().trim().min(1).max(40),
  value: z.string().trim().min(1).max(40),
})
export type SampleMeasurement = z.infer<typeof SampleMeasurement>

const text = (most: number) => z.string().trim().max(most).default('')

/** A delivery of one part. What came in never changes; its state does, and its stock is the sum of its movements. */
export const PartLot = z.object({
  id: LotId,
  part: PartNumber,
  receivedAt: z.iso.datetime(),
  station: z.string(),
  supplier: text(80),
  /** As printed on the bag or the part: "2611" is week 11 of 2026. */
  dateCode: text(40),
  price: PartPrice.optional(),
  /** Path of the certificate or of a photo of the bag. */
  certificatePath: text(400),
  photoPath: text(400),
  measurements: z.array(SampleMeasurement).max(500).default([]),
  note: text(500),
  state: LotState,
})
export type PartLot = z.infer<typeof PartLot>

/** A lot with what is left of it. */
export type LotInStock = PartLot & { stock: number; received: number }
