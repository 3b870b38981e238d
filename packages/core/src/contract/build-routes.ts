import { z } from 'zod'
import { Build, BuildState, WorkMark, WorkRecord } from '../model/build.ts'
import { PlacingOrder } from '../model/procedure.ts'
import { StockMovement } from '../model/stock-movement.ts'
import { Serial, Unit, UnitState } from '../model/unit.ts'
import { Id, type Route } from './route.ts'

const count = z.number().int().nonnegative()
const BuildId = z.coerce.number().int().positive()

const BuildUnit = z.object({
  serial: Serial,
  state: UnitState,
  /** Keys of the steps that are done. */
  done: z.array(z.string()),
  /** Key of the first step that is not. */
  next: z.string().nullable(),
  workedS: z.number().nonnegative(),
})

const BuildDetail = z.object({
  build: Build,
  state: BuildState,
  units: z.array(BuildUnit),
  movements: z.array(StockMovement),
  work: z.array(WorkRecord),
  /** Median time of each step a unit, over all builds of the product. */
  pace: z.array(z.object({ step: z.string(), medianS: z.number(), times: count })),
})

const TracedPlace = z.object({
  designator: z.string(),
  part: z.string().nullable(),
  lotId: z.string().nullable(),
  lotWords: z.string().nullable(),
  pieces: count,
  reworkId: z.number().int().nullable(),
})

const ReplacedPart = TracedPlace.extend({ replacedAt: z.iso.datetime(), replacedBy: z.number().int() })

/** Routes of builds and of what is in a unit. */
export const buildRoutes = {
  builds: {
    method: 'GET',
    path: '/api/builds',
    summary: 'Builds, newest first, with how far their units are',
    query: z.object({ productId: Id.optional() }),
    reply: z.object({
      builds: z.array(z.object({ build: Build.omit({ steps: true }), state: BuildState, units: z.array(BuildUnit) })),
    }),
    problems: ['not-found'],
  },
  build: {
    method: 'GET',
    path: '/api/builds/:id',
    summary: 'One build: steps, units, lots it took, work so far, pace',
    params: z.object({ id: BuildId }),
    reply: BuildDetail,
    problems: ['not-found'],
  },
  startBuild: {
    method: 'POST',
    path: '/api/builds',
    summary: 'Start a build: takes the parts out of stock and gives the serial numbers, all at once or not at all',
    body: z.object({
      productId: Id.optional(),
      revision: z.string().max(64).optional(),
      units: z.number().int().min(1).max(500),
      order: PlacingOrder.optional(),
      firstNumber: z.number().int().positive().optional(),
      note: z.string().max(500).optional(),
    }),
    reply: BuildDetail,
    problems: ['bad-argument', 'not-found', 'parts-list-missing', 'serials-used-up', 'stock-short'],
  },
  recordWork: {
    method: 'POST',
    path: '/api/builds/:id/work',
    summary: 'Record a work step of some units, or of all that are not done with it',
    params: z.object({ id: BuildId }),
    body: z.object({
      step: z.string().max(64),
      serials: z.array(Serial).min(1).max(500).optional(),
      mark: WorkMark.optional(),
      /** Time worked on all of them together, s. */
      workedS: z.number().nonnegative().optional(),
      note: z.string().max(2000).optional(),
      photoPath: z.string().max(400).optional(),
    }),
    reply: BuildDetail,
    problems: ['bad-argument', 'bad-serial', 'not-found', 'step-not-possible'],
  },
  unitTrace: {
    method: 'GET',
    path: '/api/units/:serial/trace',
    summary: 'What is in a unit and from which lots; `replaced` is what a rework took out',
    params: z.object({ serial: Serial }),
    reply: z.object({
      unit: Unit,
      buildId: z.number().int().nullable(),
      places: z.array(TracedPlace),
      replaced: z.array(ReplacedPart),
    }),
    problems: ['bad-serial', 'not-found'],
  },
} as const satisfies Record<string, Route>
