import { z } from 'zod'
import { JournalEntry } from '../model/journal.ts'
import { LotReading } from '../model/lot-inspection.ts'
import { Part, PartNumber } from '../model/part.ts'
import { LotId, LotState, PartLot } from '../model/part-lot.ts'
import { StockMovement } from '../model/stock-movement.ts'
import { Serial, UnitState } from '../model/unit.ts'
import type { Route } from './route.ts'

const count = z.number().int().nonnegative()

/** A part with what there is of it: in accepted lots, and in lots that are held or wait for their inspection. */
const PartRow = Part.safeExtend({
  version: z.number().int().positive(),
  changedAt: z.iso.datetime(),
  stock: count,
  waiting: count,
  lots: count,
})

const LotInStock = PartLot.extend({ stock: count, received: count })

const InspectionStatus = z.object({
  sampleSize: count,
  acceptanceNumber: count,
  inspectAll: z.boolean(),
  tried: count,
  bad: count,
  outcome: z.enum(['more', 'accept', 'not-accept']),
})

const LotTraceUnit = z.object({
  serial: Serial,
  state: UnitState,
  productId: z.string(),
  revision: z.string(),
  /** Places where pieces of the lot are now. */
  inside: z.array(z.object({ designator: z.string(), pieces: count, reworkId: z.number().int().nullable() })),
  /** Places where they were until a rework. */
  removed: z.array(
    z.object({ designator: z.string(), pieces: count, at: z.iso.datetime(), reworkId: z.number().int() }),
  ),
})

const lotProblems = ['bad-argument', 'not-found'] as const

/** Routes of parts and lots. */
export const stockRoutes = {
  parts: {
    method: 'GET',
    path: '/api/parts',
    summary: 'Parts by number, each with what there is of it',
    reply: z.object({ parts: z.array(PartRow) }),
    problems: [],
  },
  lots: {
    method: 'GET',
    path: '/api/lots',
    summary: 'Lots, oldest first, each with what is left of it',
    query: z.object({ part: PartNumber.optional(), state: LotState.optional() }),
    reply: z.object({ lots: z.array(LotInStock) }),
    problems: [],
  },
  lot: {
    method: 'GET',
    path: '/api/lots/:id',
    summary: 'One lot with its movements (their sum is its stock), its inspection and its history',
    params: z.object({ id: LotId }),
    reply: z.object({
      lot: LotInStock,
      part: Part,
      movements: z.array(StockMovement),
      readings: z.array(LotReading),
      inspection: InspectionStatus.nullable(),
      history: z.array(JournalEntry),
    }),
    problems: lotProblems,
  },
  lotTrace: {
    method: 'GET',
    path: '/api/lots/:id/trace',
    summary: 'Units that pieces of a lot went into; those that have left the workshop are `toTell`',
    params: z.object({ id: LotId }),
    reply: z.object({
      lot: LotInStock,
      units: z.array(LotTraceUnit),
      toTell: z.array(Serial),
      toKeep: z.array(Serial),
    }),
    problems: lotProblems,
  },
  countLot: {
    method: 'POST',
    path: '/api/lots/:id/counts',
    summary: 'Set the stock of a lot right after counting it; the difference is a movement with its reason',
    params: z.object({ id: LotId }),
    body: z.object({ counted: count, reason: z.string().trim().min(1).max(500) }),
    reply: z.object({ lot: LotInStock }),
    problems: lotProblems,
  },
} as const satisfies Record<string, Route>
