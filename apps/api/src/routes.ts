import { BoardwrightError, type ErrorCode, errorCatalogue } from '@boardwright/core'
import { routes } from '@boardwright/core/contract'
import type { Workshop } from '@boardwright/core/workshop'
import type { FastifyInstance } from 'fastify'
import { addRoute } from './add-route.ts'
import { addTestRun } from './add-test-run.ts'
import { addBuildRoutes } from './build-routes.ts'
import { addDiagnosisRoutes } from './diagnosis-routes.ts'
import { addHardRoutes } from './hard-routes.ts'
import { problemKind } from './problem.ts'
import { addRigCheckRoutes } from './rig-check-routes.ts'

/** Adds every JSON route of the contract: each one calls a verb of the workshop and sends what it gives. */
export function addRoutes(
  app: FastifyInstance,
  what: { workshop: Workshop; version: string; workshopName: string },
): void {
  const { workshop, version, workshopName } = what
  addRoute(app, {
    id: 'health',
    route: routes.health,
    handler: () => ({
      ok: true,
      name: 'boardwright' as const,
      version,
      workshop: workshopName,
      lastSeq: workshop.lastSeq(),
    }),
  })
  addRoute(app, {
    id: 'units',
    route: routes.units,
    handler: ({ query: { limit = 500, ...query } }) => {
      const all = workshop.units(query)
      return { units: all.slice(0, limit), total: all.length }
    },
  })
  addRoute(app, { id: 'unit', route: routes.unit, handler: ({ params }) => workshop.unit(params.serial) })
  addRoute(app, { id: 'testRun', route: routes.testRun, handler: ({ params }) => workshop.testRun(params.id) })
  addRoute(app, {
    id: 'addTestRun',
    route: routes.addTestRun,
    status: 201,
    handler: async ({ raw }, reply) => {
      const added = await addTestRun(workshop, raw)
      reply.header('location', routes.testRun.path.replace(':id', encodeURIComponent(added.run.id)))
      return added
    },
  })
  addDiagnosisRoutes(app, workshop)
  addHardRoutes(app, workshop)
  addRigCheckRoutes(app, workshop)
  addBuildRoutes(app, workshop)
  addRoute(app, { id: 'products', route: routes.products, handler: () => ({ products: workshop.products() }) })
  addRoute(app, {
    id: 'product',
    route: routes.product,
    handler: ({ params }) => ({ product: workshop.product(params.id) }),
  })
  addRoute(app, {
    id: 'references',
    route: routes.references,
    handler: ({ params }) => ({ references: workshop.references(params.id) }),
  })
  addRoute(app, {
    id: 'problem',
    route: routes.problem,
    handler: ({ params: { code } }) => {
      if (!Object.hasOwn(errorCatalogue, code))
        throw new BoardwrightError('not-found', `No error has the code "${code}".`)
      return problemKind(code as ErrorCode)
    },
  })
}
