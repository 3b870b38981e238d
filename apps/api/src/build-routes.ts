import { routes } from '@boardwright/core/contract'
import type { Workshop } from '@boardwright/core/workshop'
import type { FastifyInstance } from 'fastify'
import { addRoute } from './add-route.ts'

/** Adds the routes of parts, lots, builds and traces. */
export function addBuildRoutes(app: FastifyInstance, { stock, builds }: Workshop): void {
  addRoute(app, { id: 'parts', route: routes.parts, handler: () => ({ parts: stock.parts() }) })
  addRoute(app, { id: 'lots', route: routes.lots, handler: ({ query }) => ({ lots: stock.lots(query) }) })
  addRoute(app, { id: 'lot', route: routes.lot, handler: ({ params }) => stock.lot(params.id) })
  addRoute(app, { id: 'lotTrace', route: routes.lotTrace, handler: ({ params }) => stock.traceLot(params.id) })
  addRoute(app, {
    id: 'countLot',
    route: routes.countLot,
    status: 201,
    handler: ({ params, body }) => ({ lot: stock.countLot({ lot: params.id, ...body }) }),
  })
  addRoute(app, { id: 'builds', route: routes.builds, handler: ({ query }) => ({ builds: builds.list(query) }) })
  addRoute(app, { id: 'build', route: routes.build, handler: ({ params }) => builds.show(params.id) })
  addRoute(app, {
    id: 'startBuild',
    route: routes.startBuild,
    status: 201,
    handler: ({ body }, reply) => {
      const started = builds.start(body)
      reply.header('location', routes.build.path.replace(':id', String(started.build.id)))
      return started
    },
  })
  addRoute(app, {
    id: 'recordWork',
    route: routes.recordWork,
    status: 201,
    handler: ({ params, body }) => builds.recordWork({ buildId: params.id, ...body }),
  })
  addRoute(app, { id: 'unitTrace', route: routes.unitTrace, handler: ({ params }) => builds.traceUnit(params.serial) })
}
