import { routes } from '@boardwright/core/contract'
import type { Workshop } from '@boardwright/core/workshop'
import type { FastifyInstance } from 'fastify'
import { addRoute } from './add-route.ts'

/** Adds the routes of what follows a failed test run: suspects, rework, and how often the suspects were right. */
export function addDiagnosisRoutes(app: FastifyInstance, workshop: Workshop): void {
  addRoute(app, {
    id: 'runDiagnosis',
    route: routes.runDiagnosis,
    handler: async ({ params }) => ({ diagnosis: await workshop.diagnosis(params.id) }),
  })
  addRoute(app, {
    id: 'addDiagnosis',
    route: routes.addDiagnosis,
    status: 201,
    handler: async ({ params, body: { supplyCurrentA, ...rest } }) => ({
      diagnosis: await workshop.diagnoseRun({
        runId: params.id,
        ...rest,
        ...(typeof supplyCurrentA === 'number' ? { supplyCurrentA } : {}),
      }),
    }),
  })
  addRoute(app, {
    id: 'addRework',
    route: routes.addRework,
    status: 201,
    handler: ({ params, body }) => workshop.recordRework({ ...body, serial: params.serial }),
  })
  addRoute(app, {
    id: 'diagnosisFigures',
    route: routes.diagnosisFigures,
    handler: () => workshop.diagnosisFigures(),
  })
}
