import { z } from 'zod'
import { BodyShape } from './placement.ts'
import { PartPrice } from './price.ts'

export const partKinds = [
  'resistor',
  'capacitor',
  'potentiometer',
  'diode',
  'op-amp',
  'connector',
  'circuit-board',
  'other',
] as const
export const PartKind = z.enum(partKinds)
export type PartKind = z.infer<typeof PartKind>

/** The number that the part's manufacturer gives it, as ordered; stored in capitals: it is what a part is known by. */
export const PartNumber = z
  .string()
  .trim()
  .toUpperCase()
  .regex(/^[A-Z0-9](?:[A-Z0-9 ./+#_-]{0,38}[A-Z0-9.+#])?$/, 'a part number is 1 to 40 letters, digits and . / + # _ -')

const text = (most: number) => z.string().trim().max(most)

/** How an arriving lot is looked at before it may be built in. */
export const IncomingInspection = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('none') }),
  /** Every piece is tried. */
  z.object({ kind: z.literal('all') }),
  /** A sample by ISO 2859-1, normal inspection. */
  z.object({
    kind: z.literal('sample'),
    level: z.enum(['I', 'II', 'III', 'S-1', 'S-2', 'S-3', 'S-4']).default('II'),
    acceptanceQualityLimitPercent: z.number().positive().max(10).default(1),
  }),
])
export type IncomingInspection = z.infer<typeof IncomingInspection>

/** Share by which a value may be off: one for both ways, or below and above. */
const PartTolerance = z.union([
  z.number().positive().max(1),
  z.tuple([z.number().min(-1).max(0), z.number().min(0).max(10)]),
])

/** A stock item: one kind of thing that is bought, counted and fitted. */
export const Part = z
  .object({
    number: PartNumber,
    manufacturer: text(80).default(''),
    kind: PartKind,
    /** As a person writes it: "47 kohm", "33 nF", "dual op-amp". */
    value: text(60).default(''),
    /** Resistors and potentiometers. */
    resistanceOhm: z.number().nonnegative().optional(),
    /** Capacitors. */
    capacitanceF: z.number().positive().optional(),
    tolerance: PartTolerance.optional(),
    /** Capacitors: highest direct voltage, V. */
    ratedVoltageV: z.number().positive().optional(),
    body: BodyShape.optional(),
    /** Distance of the leads in the board, mm: to what they are bent. */
    leadPitchMm: z.number().positive().max(100).optional(),
    /** Must not be fitted the other way round. */
    polarised: z.boolean().default(false),
    /** Harmed by a spark that nobody feels. */
    staticSensitive: z.boolean().default(false),
    price: PartPrice.optional(),
    supplier: text(80).default(''),
    leadTimeDays: z.number().int().nonnegative().max(1000).optional(),
    inspection: IncomingInspection.default({ kind: 'none' }),
    note: text(500).default(''),
  })
  .refine((part) => part.kind !== 'resistor' || part.resistanceOhm !== undefined, {
    path: ['value'],
    message: 'a resistor needs its value, such as "47 kohm"',
  })
  .refine((part) => part.kind !== 'capacitor' || part.capacitanceF !== undefined, {
    path: ['value'],
    message: 'a capacitor needs its value, such as "33 nF"',
  })
export type Part = z.infer<typeof Part>

/** A part as it was known from a moment on; the newest version counts. */
export type PartVersion = Part & { version: number; changedAt: string }
