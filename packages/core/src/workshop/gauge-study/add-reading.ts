import { BoardwrightError } from '../../model/error.ts'
import type { GaugeStep, GaugeStudy } from '../../model/gauge-study.ts'
import { rigKindOf } from '../../model/rig-check.ts'
import { isUsable } from '../../response/judge/judge-context.ts'
import { needEverySetting, refuseRepeatedSettings, refuseSameRecording } from '../check-recordings.ts'
import { findProduct } from '../find-product.ts'
import { measureOnce } from '../measure-ahead.ts'
import { rigOf } from '../rig/find-rig.ts'
import { refuseDrifted } from '../rig-check/refuse-drifted.ts'
import { nowOf, type VerbContext, writeJournal } from '../verb-context.ts'
import { findStudy } from './find-study.ts'
import type { AddGaugeReading, GaugeProgress } from './gauge-studies.ts'
import { nextStep } from './study-order.ts'

/**
 * Measures and stores the next reading of a study. Errors: bad-argument, not-found, recording-refused, recording-twice,
 * rig-drifted, setting-missing, sweep-mismatch.
 */
export function addReading(context: VerbContext, what: AddGaugeReading): GaugeProgress {
  const { store, station } = context
  const study = findStudy(context, what.studyId)
  const { step } = wantedStep(context, study, what)
  const product = findProduct(context, study.productId, study.revision)
  const settings = { ...product, testPlan: { ...product.testPlan, settings: study.settings } }
  refuseRepeatedSettings(what.recordings)
  needEverySetting(settings, what.recordings)
  refuseSameRecording(what.recordings)
  const curves = what.recordings
    .filter(({ setting }) => study.settings.includes(setting))
    .map((recording) => readingOf(context, what, { recording, plan: product.testPlan }))
  return store.transaction(() => {
    // Another program may have taken this step, given the study up or checked the rig meanwhile.
    wantedStep(context, findStudy(context, study.id), what)
    const at = nowOf(context)
    store.gaugeStudies.insertReading({ studyId: study.id, step, at, station, rig: what.rig, curves })
    const detail = { ...step, wanted: study.wanted }
    writeJournal(context, { at, verb: 'add-gauge-reading', noun: 'gauge-study', key: String(study.id), detail })
    const now = findStudy(context, study.id)
    return { study: now, next: nextStep(now) }
  })
}

function wantedStep(context: VerbContext, study: GaugeStudy, what: AddGaugeReading): { step: GaugeStep } {
  refuseDrifted(context, { productId: study.productId, rig: what.rig })
  if (rigKindOf(what.rig) !== study.rig)
    throw new BoardwrightError('bad-argument', `Gauge study ${study.id} is of another rig (${study.rig}).`)
  const step = nextStep(study)
  if (!step)
    throw new BoardwrightError('bad-argument', `Gauge study ${study.id} is ${study.state}: it takes no reading.`)
  if (step.position === what.position) return { step }
  throw new BoardwrightError(
    'bad-argument',
    `Reading ${what.position} is not the next one of gauge study ${study.id}; reading ${step.position} is.`,
  )
}

function readingOf(
  context: VerbContext,
  what: AddGaugeReading,
  options: Pick<Parameters<typeof measureOnce>[0], 'recording' | 'plan'>,
) {
  const { measurement } = measureOnce({ ...what, ...options, through: rigOf(context, what.rigSettings) })
  if (!isUsable(measurement)) {
    const finding = measurement.findings.find((one) => one.severity === 'refuse')
    const why = finding?.message ?? 'it has no response curve.'
    throw new BoardwrightError('recording-refused', `The reading at "${measurement.setting}" proves nothing: ${why}`)
  }
  const { frequencyHz, gainDb, uncertaintyDb } = measurement.curve
  return { setting: measurement.setting, gainAt1kHzDb: measurement.gainAt1kHzDb, frequencyHz, gainDb, uncertaintyDb }
}
