import { BoardwrightError } from '../../model/error.ts'
import { findProduct } from '../find-product.ts'
import type { VerbContext } from '../verb-context.ts'
import { driftChart } from './drift-chart.ts'
import { recordRigCheck } from './record-rig-check.ts'
import { refuseDrifted } from './refuse-drifted.ts'
import { rigCheckStatus } from './rig-check-status.ts'
import type { RigChecks } from './rig-checks.ts'
import { takeBack } from './take-back.ts'

/** The verbs of the rig check, bound to one workshop file. */
export function makeRigChecks(context: VerbContext): RigChecks {
  const { store } = context
  return {
    record: (what) => recordRigCheck(context, what),
    status: (which) => store.snapshot(() => rigCheckStatus(context, which)),
    needProven: ({ productId, rig }) => refuseDrifted(context, { productId: findProduct(context, productId).id, rig }),
    list: ({ productId, rig, limit = 200 }) =>
      store.rigChecks.list({ productId: findProduct(context, productId).id, rig, limit }),
    show(id) {
      const check = store.rigChecks.find(id)
      if (!check) throw new BoardwrightError('not-found', `There is no rig check ${id} in this workshop.`)
      return check
    },
    chart: (which) => store.snapshot(() => driftChart(context, which)),
    retest: (productId) => store.rigChecks.retest(findProduct(context, productId).id),
    takeBack: (what) => takeBack(context, what),
  }
}
