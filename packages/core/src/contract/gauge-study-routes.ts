import { z } from 'zod'
import { GaugeResult, GaugeStep, GaugeStudy } from '../model/gauge-study.ts'
import { RigKind } from '../model/rig-check.ts'
import { RigUncertainty } from '../model/rig-uncertainty.ts'
import { Id, type Route } from './route.ts'

const StudyId = z.coerce.number().int().positive()

/** Routes of the gauge study. */
export const gaugeStudyRoutes = {
  gaugeStudies: {
    method: 'GET',
    path: '/api/gauge-studies',
    summary: 'Gauge studies, newest first, and what the judge counts with on each rig (null: the test plan)',
    query: z.object({ productId: Id.optional() }),
    reply: z.object({
      studies: z.array(GaugeStudy),
      inForce: z.array(z.object({ rig: RigKind, uncertainty: RigUncertainty.nullable() })),
      /** The figure of the test plan, dB. */
      planUncertaintyDb: z.number(),
    }),
    problems: ['not-found'],
  },
  gaugeStudy: {
    method: 'GET',
    path: '/api/gauge-studies/:id',
    summary: 'One gauge study: what comes next, and its result once it is complete',
    params: z.object({ id: StudyId }),
    reply: z.object({ study: GaugeStudy, next: GaugeStep.nullable(), result: GaugeResult.nullable() }),
    problems: ['not-found'],
  },
  acceptGaugeStudy: {
    method: 'POST',
    path: '/api/gauge-studies/:id/acceptance',
    summary: 'Let the judge count with the uncertainty that a complete study found',
    params: z.object({ id: StudyId }),
    body: z.object({}),
    reply: z.object({ uncertainty: RigUncertainty }),
    problems: ['gauge-study-open', 'not-found'],
  },
} as const satisfies Record<string, Route>
