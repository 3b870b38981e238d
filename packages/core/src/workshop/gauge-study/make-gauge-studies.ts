import { BoardwrightError } from '../../model/error.ts'
import { findProduct } from '../find-product.ts'
import type { WhichRig } from '../rig-check/rig-checks.ts'
import { nowOf, type VerbContext, writeJournal } from '../verb-context.ts'
import { acceptPlan, acceptStudy } from './accept-study.ts'
import { addReading } from './add-reading.ts'
import { findStudy } from './find-study.ts'
import type { GaugeStudies } from './gauge-studies.ts'
import { startStudy } from './start-study.ts'
import { nextStep, studyOrder } from './study-order.ts'
import { studyResult } from './study-result.ts'

/** The verbs of the gauge study, bound to one workshop file. */
export function makeGaugeStudies(context: VerbContext): GaugeStudies {
  const { store } = context
  const onRig = ({ productId, rig }: WhichRig) => ({ productId: findProduct(context, productId).id, rig })
  return {
    start: (what) => startStudy(context, what),
    list: (productId) => store.gaugeStudies.list(findProduct(context, productId).id),
    show(id) {
      const study = findStudy(context, id)
      return { study, order: studyOrder(study), next: nextStep(study) }
    },
    underWay(which) {
      const on = onRig(which)
      const study = store.gaugeStudies
        .list(on.productId)
        .find(({ rig, state }) => rig === on.rig && state === 'running')
      return study && { study, next: nextStep(study) }
    },
    addReading: (what) => addReading(context, what),
    result: (id) => studyResult(context, id),
    abandon: (what) => abandonStudy(context, what),
    accept: (id) => acceptStudy(context, id),
    acceptPlan: (which) => acceptPlan(context, which),
    inForce: (which) => store.rigUncertainties.inForce(onRig(which)) ?? null,
  }
}

function abandonStudy(context: VerbContext, { id, note = '' }: { id: number; note?: string }) {
  const { store, station } = context
  return store.transaction(() => {
    const study = findStudy(context, id)
    if (study.state !== 'running')
      throw new BoardwrightError('bad-argument', `Gauge study ${id} is ${study.state}, so it cannot be given up.`)
    const at = nowOf(context)
    store.gaugeStudies.abandon({ studyId: id, at, station, note })
    const detail = { note, readings: study.readings }
    writeJournal(context, { at, verb: 'abandon-gauge-study', noun: 'gauge-study', key: String(id), detail })
    return findStudy(context, id)
  })
}
