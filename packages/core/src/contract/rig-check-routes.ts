import { z } from 'zod'
import { DriftChart, RigCheckStatus } from '../model/drift-chart.ts'
import { RetestItem, RigCheck, RigCheckSummary, RigKind } from '../model/rig-check.ts'
import { Serial, Unit } from '../model/unit.ts'
import { Id, type Route } from './route.ts'

/** One rig that was used or checked: how it stands, and its drift since the reference was made. */
export const RigStanding = z.object({ rig: RigKind, status: RigCheckStatus, chart: DriftChart })
export type RigStanding = z.infer<typeof RigStanding>

const CheckId = z.coerce.number().int().positive()

/** Routes of the rig check. */
export const rigCheckRoutes = {
  rigChecks: {
    method: 'GET',
    path: '/api/rig-checks',
    summary: 'Rigs with their drift, checks newest first, and the units to be tested again',
    query: z.object({ productId: Id.optional() }),
    reply: z.object({ rigs: z.array(RigStanding), checks: z.array(RigCheckSummary), retest: z.array(RetestItem) }),
    problems: ['not-found'],
  },
  rigCheck: {
    method: 'GET',
    path: '/api/rig-checks/:id',
    summary: 'One rig check with its deviations at each setting',
    params: z.object({ id: CheckId }),
    reply: z.object({ check: RigCheck }),
    problems: ['not-found'],
  },
  takeBack: {
    method: 'POST',
    path: '/api/rig-checks/take-back',
    summary: 'Take units that wait to be tested again off the shelf; all ready and reserved ones unless named',
    body: z.object({ productId: Id.optional(), serials: z.array(Serial).min(1).max(1000).optional() }),
    reply: z.object({ units: z.array(Unit) }),
    problems: ['bad-serial', 'not-found', 'unit-not-testable'],
  },
} as const satisfies Record<string, Route>
