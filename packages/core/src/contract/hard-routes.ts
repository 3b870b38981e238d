import { z } from 'zod'
import { HardReference, HardRun, HardRunSummary } from '../model/hard-run.ts'
import { Serial } from '../model/unit.ts'
import { Id, type Route } from './route.ts'

/** A run with the signature it was compared with. */
export const HardRunDetail = z.object({ run: HardRun, reference: HardReference })
export type HardRunDetail = z.infer<typeof HardRunDetail>

/** Routes of boards pressed hard. */
export const hardRoutes = {
  hardRuns: {
    method: 'GET',
    path: '/api/units/:serial/hard-runs',
    summary: 'Visits of a unit to be pressed hard, newest first',
    params: z.object({ serial: Serial }),
    reply: z.object({ runs: z.array(HardRunSummary) }),
    problems: ['bad-serial', 'not-found'],
  },
  hardRun: {
    method: 'GET',
    path: '/api/hard-runs/:id',
    summary: 'One visit with its signature, its verdict, and the signature of the reference board',
    params: z.object({ id: Id }),
    reply: HardRunDetail,
    problems: ['not-found'],
  },
} as const satisfies Record<string, Route>
