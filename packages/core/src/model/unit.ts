import { z } from 'zod'

export const unitStates = [
  'building',
  'untested',
  'ready',
  'failed',
  'rework',
  'reserved',
  'shipped',
  'returned',
  'scrapped',
] as const
export const UnitState = z.enum(unitStates)
export type UnitState = z.infer<typeof UnitState>

/** Serial number: letters, digits and hyphens, as printed on the label; stored in capitals. */
export const Serial = z
  .string()
  .trim()
  .toUpperCase()
  .regex(
    /^[A-Z0-9](?:[A-Z0-9-]{0,30}[A-Z0-9])?$/,
    'a serial number is 1 to 32 letters, digits and hyphens, such as PLV-0042',
  )

export const Unit = z.object({
  serial: Serial,
  productId: z.string(),
  revision: z.string(),
  state: UnitState,
  createdAt: z.iso.datetime(),
  updatedAt: z.iso.datetime(),
  /** The last test run, if there is one. */
  lastRunId: z.string().nullable(),
})
export type Unit = z.infer<typeof Unit>

/** States in which a unit may be put on the rig: one that is in the workshop and not promised to an order. */
export const testableStates: readonly UnitState[] = ['untested', 'ready', 'failed', 'returned']
