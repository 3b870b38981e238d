import { routes } from '@boardwright/core/contract'
import type { Workshop } from '@boardwright/core/workshop'
import type { FastifyInstance } from 'fastify'
import { addRoute } from './add-route.ts'

/** Adds the routes of boards pressed hard. */
export function addHardRoutes(app: FastifyInstance, workshop: Workshop): void {
  addRoute(app, {
    id: 'hardRuns',
    route: routes.hardRuns,
    handler: ({ params: { serial } }) => {
      workshop.unit(serial) // an unknown unit is an error, not an empty list
      return { runs: workshop.hard.ofUnit(serial) }
    },
  })
  addRoute(app, { id: 'hardRun', route: routes.hardRun, handler: ({ params }) => workshop.hard.run(params.id) })
}
