import { z } from 'zod'
import { JournalEntry } from '../model/journal.ts'
import { Product } from '../model/product.ts'
import { Reference } from '../model/reference.ts'
import { TestRun, TestRunSummary } from '../model/test-run.ts'
import { Serial, Unit, UnitState } from '../model/unit.ts'

/** A unit in the list, with its last verdict, so that the list needs one request. */
export const UnitRow = Unit.extend({ lastRun: TestRunSummary.nullable() })
export type UnitRow = z.infer<typeof UnitRow>

export const UnitDetail = z.object({
  unit: Unit,
  runs: z.array(TestRunSummary),
  history: z.array(JournalEntry),
})
export type UnitDetail = z.infer<typeof UnitDetail>

export const TestRunDetail = z.object({ run: TestRun, reference: Reference })
export type TestRunDetail = z.infer<typeof TestRunDetail>

export const Health = z.object({
  ok: z.boolean(),
  name: z.literal('boardwright'),
  version: z.string(),
  workshop: z.string(),
  lastSeq: z.number().int(),
})
export type Health = z.infer<typeof Health>

/** What a live event carries: enough to know what to fetch again. */
export const LiveEvent = z.object({
  seq: z.number().int(),
  at: z.iso.datetime(),
  verb: z.string(),
  noun: z.string(),
  key: z.string(),
  station: z.string(),
})
export type LiveEvent = z.infer<typeof LiveEvent>

/** Fields of the multipart body of POST /api/test-runs; each recording is a file part named `setting.NAME`. */
export const TestRunFields = z.object({
  serial: Serial,
  loopBackChannel: z.enum(['left', 'right']).optional(),
})
export type TestRunFields = z.infer<typeof TestRunFields>

/**
 * Every JSON route of the API: method, path, what goes in and what comes out. The server validates with these and
 * publishes them as OpenAPI; the desk's client is typed by them.
 */
export const routes = {
  health: { method: 'GET', path: '/api/health', summary: 'Is the server up, and on which workshop', reply: Health },
  units: {
    method: 'GET',
    path: '/api/units',
    summary: 'Units, newest change first',
    query: z.object({ state: UnitState.optional(), search: z.string().max(64).optional() }),
    reply: z.object({ units: z.array(UnitRow) }),
  },
  unit: {
    method: 'GET',
    path: '/api/units/:serial',
    summary: 'One unit with its test runs and its history',
    params: z.object({ serial: Serial }),
    reply: UnitDetail,
  },
  testRun: {
    method: 'GET',
    path: '/api/test-runs/:id',
    summary: 'One test run with its curves, and the reference it was judged by',
    params: z.object({ id: z.string().min(1).max(64) }),
    reply: TestRunDetail,
  },
  addTestRun: {
    method: 'POST',
    path: '/api/test-runs',
    summary: 'Judge recordings of a unit (multipart WAV files, one part per setting) and store the run',
    reply: TestRunDetail,
  },
  product: {
    method: 'GET',
    path: '/api/products/:id',
    summary: 'One product: controls, settings, test plan, circuit',
    params: z.object({ id: z.string().min(1).max(64) }),
    reply: z.object({ product: Product }),
  },
  products: {
    method: 'GET',
    path: '/api/products',
    summary: 'Products that are made',
    reply: z.object({ products: z.array(Product) }),
  },
  references: {
    method: 'GET',
    path: '/api/products/:id/references',
    summary: 'Versions of the reference, newest first',
    params: z.object({ id: z.string().min(1).max(64) }),
    reply: z.object({ references: z.array(Reference) }),
  },
} as const

/** Server-sent events: one `change` event per journal entry; Last-Event-ID is the journal's sequence number. */
export const eventsPath = '/api/events'
export const openApiPath = '/api/openapi.json'
