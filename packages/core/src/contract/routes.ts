import { z } from 'zod'
import { DiagnosisFigures } from '../model/diagnosis-figures.ts'
import { JournalEntry } from '../model/journal.ts'
import { Product } from '../model/product.ts'
import { Reference } from '../model/reference.ts'
import { Rework, ReworkEntry } from '../model/rework.ts'
import { Evidence, RunDiagnosis } from '../model/run-diagnosis.ts'
import { TestRun, TestRunSummary } from '../model/test-run.ts'
import { Serial, Unit, UnitState } from '../model/unit.ts'
import { buildRoutes } from './build-routes.ts'
import { gaugeStudyRoutes } from './gauge-study-routes.ts'
import { hardRoutes } from './hard-routes.ts'
import { ProblemKind } from './problem.ts'
import { rigCheckRoutes } from './rig-check-routes.ts'
import { Id, type Route } from './route.ts'
import { stockRoutes } from './stock-routes.ts'

/** A unit in the list, with its last verdict, so that the list needs one request. */
export const UnitRow = Unit.extend({ lastRun: TestRunSummary.nullable() })
export type UnitRow = z.infer<typeof UnitRow>

export const UnitDetail = z.object({
  unit: Unit,
  runs: z.array(TestRunSummary),
  history: z.array(JournalEntry),
  /** Newest first. */
  reworks: z.array(Rework),
})
export type UnitDetail = z.infer<typeof UnitDetail>

export const TestRunDetail = z.object({ run: TestRun, reference: Reference })
export type TestRunDetail = z.infer<typeof TestRunDetail>

/** A new run, and the unit as it stands after it; `newUnit` when the serial number was not known before. */
export const AddedTestRun = TestRunDetail.extend({ unit: Unit, newUnit: z.boolean() })
export type AddedTestRun = z.infer<typeof AddedTestRun>

/** What a maker adds to a diagnosis: what was measured by hand. It counts together with what was added before. */
export const AddedEvidence = Evidence.omit({ sweeps: true }).partial().extend({
  /** True leaves out what was added before. */
  afresh: z.boolean().optional(),
})
export type AddedEvidence = z.infer<typeof AddedEvidence>

export const AddedRework = z.object({ rework: Rework, unit: Unit })
export type AddedRework = z.infer<typeof AddedRework>

export const Health = z.object({
  ok: z.boolean(),
  name: z.literal('boardwright'),
  version: z.string(),
  workshop: z.string(),
  lastSeq: z.number().int(),
})
export type Health = z.infer<typeof Health>

export const UnitQuery = z.object({
  state: UnitState.optional(),
  /** Any part of a serial number. */
  search: z.string().max(64).optional(),
  /** At most so many units; 500 unless told. */
  limit: z.coerce.number().int().min(1).max(5000).optional(),
})

/**
 * Every JSON route of the API: method, path, what goes in and what comes out, and the problems that belong to it (a
 * broken request, a wrong host and a bug can happen anywhere). The server validates with these and publishes them as
 * OpenAPI; the desk's client is typed by them.
 */
export const routes = {
  health: {
    method: 'GET',
    path: '/api/health',
    summary: 'Is the server up, and on which workshop',
    reply: Health,
    problems: [],
  },
  units: {
    method: 'GET',
    path: '/api/units',
    summary: 'Units, newest change first; `total` counts also those beyond `limit`',
    query: UnitQuery,
    reply: z.object({ units: z.array(UnitRow), total: z.number().int() }),
    problems: [],
  },
  unit: {
    method: 'GET',
    path: '/api/units/:serial',
    summary: 'One unit with its test runs and its history',
    params: z.object({ serial: Serial }),
    reply: UnitDetail,
    problems: ['bad-serial', 'not-found'],
  },
  testRun: {
    method: 'GET',
    path: '/api/test-runs/:id',
    summary: 'One test run with its curves, and the reference it was judged by',
    params: z.object({ id: Id }),
    reply: TestRunDetail,
    problems: ['not-found'],
  },
  addTestRun: {
    method: 'POST',
    path: '/api/test-runs',
    summary: 'Judge recordings of a unit (multipart WAV files, one part per setting) and store the run',
    reply: AddedTestRun,
    problems: [
      'bad-serial',
      'no-reference',
      'not-a-wave-file',
      'not-found',
      'recording-twice',
      'rig-drifted',
      'setting-missing',
      'setting-unknown',
      'sweep-mismatch',
      'too-large',
      'unit-not-testable',
      'unsupported-media-type',
    ],
  },
  runDiagnosis: {
    method: 'GET',
    path: '/api/test-runs/:id/diagnosis',
    summary: 'Suspects of a test run: the last diagnosis that was kept (`id`), else one worked out now (`id` null)',
    params: z.object({ id: Id }),
    reply: z.object({ diagnosis: RunDiagnosis }),
    problems: ['not-diagnosable', 'not-found'],
  },
  addDiagnosis: {
    method: 'POST',
    path: '/api/test-runs/:id/diagnosis',
    summary: 'Diagnose a test run with what was measured by hand, and keep the diagnosis',
    params: z.object({ id: Id }),
    body: AddedEvidence,
    reply: z.object({ diagnosis: RunDiagnosis }),
    problems: ['bad-argument', 'not-diagnosable', 'not-found', 'part-unknown'],
  },
  addRework: {
    method: 'POST',
    path: '/api/units/:serial/reworks',
    summary: 'Record what was replaced or redone on a unit; it goes back to `untested`',
    params: z.object({ serial: Serial }),
    body: ReworkEntry,
    reply: AddedRework,
    problems: ['bad-serial', 'lot-not-usable', 'not-found', 'part-unknown', 'stock-short', 'unit-not-reworkable'],
  },
  diagnosisFigures: {
    method: 'GET',
    path: '/api/figures/diagnosis',
    summary: 'How often the first suspect was right, counted over reworked and tested units',
    reply: DiagnosisFigures,
    problems: [],
  },
  product: {
    method: 'GET',
    path: '/api/products/:id',
    summary: 'One product: controls, settings, test plan, circuit',
    params: z.object({ id: Id }),
    reply: z.object({ product: Product }),
    problems: ['not-found'],
  },
  products: {
    method: 'GET',
    path: '/api/products',
    summary: 'Products that are made',
    reply: z.object({ products: z.array(Product) }),
    problems: [],
  },
  references: {
    method: 'GET',
    path: '/api/products/:id/references',
    summary: 'Versions of the reference, newest first',
    params: z.object({ id: Id }),
    reply: z.object({ references: z.array(Reference) }),
    problems: ['not-found'],
  },
  ...hardRoutes,
  ...rigCheckRoutes,
  ...gaugeStudyRoutes,
  ...stockRoutes,
  ...buildRoutes,
  problem: {
    method: 'GET',
    path: '/api/problems/:code',
    summary: 'What an error code means and what to do about it; the `type` of a problem leads here',
    params: z.object({ code: Id }),
    reply: ProblemKind,
    problems: ['not-found'],
  },
} as const satisfies Record<string, Route>

export const openApiPath = '/api/openapi.json'
