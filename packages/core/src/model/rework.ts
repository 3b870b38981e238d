import { z } from 'zod'
import type { UnitState } from './unit.ts'
import { Serial } from './unit.ts'

/** What was done to a part: `turned` put the right way round, `bridge-removed` solder taken away between two pads. */
export const reworkActions = ['replaced', 'resoldered', 'turned', 'bridge-removed', 'cleaned', 'other'] as const
export const ReworkAction = z.enum(reworkActions)
export type ReworkAction = z.infer<typeof ReworkAction>

/** What a maker says of one rework: which part, what was done, what was put in and from which lot. */
export const ReworkEntry = z.object({
  /** The part as the parts list names it; `U1` for the package of U1A and U1B. */
  designator: z.string().trim().toUpperCase().min(1).max(16),
  action: ReworkAction,
  /** What was put in, in the maker's words: "33 nF film". */
  part: z.string().trim().min(1).max(120).optional(),
  /** From which lot, as its bag says. */
  lot: z.string().trim().min(1).max(120).optional(),
  note: z.string().trim().max(2000).default(''),
  /** False while more is to be done: the unit stays in `rework` and cannot be tested yet. */
  finished: z.boolean().default(true),
})
export type ReworkEntry = z.infer<typeof ReworkEntry>

/** One part of a unit that was replaced or redone. */
export const Rework = ReworkEntry.omit({ finished: true, part: true, lot: true }).extend({
  id: z.number().int().positive(),
  serial: Serial,
  at: z.iso.datetime(),
  station: z.string(),
  part: z.string().nullable(),
  lot: z.string().nullable(),
  /** The last test run before it; null when the unit had none. */
  afterRunId: z.string().nullable(),
  /** The diagnosis of that run which the maker had at the time; null when there was none. */
  diagnosisId: z.number().int().positive().nullable(),
})
export type Rework = z.infer<typeof Rework>

/** States in which a unit may be reworked: it is in the workshop, and not promised to an order. */
export const reworkableStates: readonly UnitState[] = ['untested', 'ready', 'failed', 'rework', 'returned']

/** True when both name the same part: the sections U1A and U1B are one package, U1. */
export const isSamePart = (one: string, other: string): boolean =>
  one === other || withoutSection(one) === other || one === withoutSection(other)

const withoutSection = (designator: string): string => designator.replace(/(?<=[0-9])[A-Z]$/, '')
