import { rigKinds } from '@boardwright/core'
import { routes } from '@boardwright/core/contract'
import type { Workshop } from '@boardwright/core/workshop'
import type { FastifyInstance } from 'fastify'
import { addRoute } from './add-route.ts'

/** Rigs that were used or checked; one that nobody knows is not worth a line. */
function standings(workshop: Workshop, productId: string | undefined) {
  return rigKinds.flatMap((rig) => {
    const status = workshop.rigChecks.status({ productId, rig })
    if (!status.lastCheck && status.unitsSince === 0) return []
    return [{ rig, status, chart: workshop.rigChecks.chart({ productId, rig }) }]
  })
}

/** Adds the routes of rig check and gauge study. */
export function addRigCheckRoutes(app: FastifyInstance, workshop: Workshop): void {
  addRoute(app, {
    id: 'rigChecks',
    route: routes.rigChecks,
    handler: ({ query: { productId } }) => {
      // A workshop without a product has no rig either.
      if (productId === undefined && workshop.products().length === 0) return { rigs: [], checks: [], retest: [] }
      return {
        rigs: standings(workshop, productId),
        checks: workshop.rigChecks.list({ productId }),
        retest: workshop.rigChecks.retest(productId),
      }
    },
  })
  addRoute(app, {
    id: 'rigCheck',
    route: routes.rigCheck,
    handler: ({ params }) => ({ check: workshop.rigChecks.show(params.id) }),
  })
  addRoute(app, {
    id: 'takeBack',
    route: routes.takeBack,
    status: 201,
    handler: ({ body }) => workshop.rigChecks.takeBack(body),
  })
  addGaugeStudyRoutes(app, workshop)
}

function addGaugeStudyRoutes(app: FastifyInstance, { gaugeStudies, product }: Workshop): void {
  addRoute(app, {
    id: 'gaugeStudies',
    route: routes.gaugeStudies,
    handler: ({ query: { productId } }) => ({
      studies: gaugeStudies.list(productId),
      inForce: rigKinds.map((rig) => ({ rig, uncertainty: gaugeStudies.inForce({ productId, rig }) })),
      planUncertaintyDb: product(productId).testPlan.rigUncertaintyDb,
    }),
  })
  addRoute(app, {
    id: 'gaugeStudy',
    route: routes.gaugeStudy,
    handler: ({ params }) => {
      const { study, next } = gaugeStudies.show(params.id)
      return { study, next, result: study.state === 'complete' ? gaugeStudies.result(study.id) : null }
    },
  })
  addRoute(app, {
    id: 'acceptGaugeStudy',
    route: routes.acceptGaugeStudy,
    status: 201,
    handler: ({ params }) => ({ uncertainty: gaugeStudies.accept(params.id) }),
  })
}
