import { BoardwrightError } from '../../model/error.ts'
import { gaugeStudySizes } from '../../model/gauge-study.ts'
import type { Product } from '../../model/product.ts'
import { testableStates, type UnitState } from '../../model/unit.ts'
import { findProduct } from '../find-product.ts'
import { readSerial } from '../register-unit.ts'
import { nowOf, type VerbContext, writeJournal } from '../verb-context.ts'
import { findStudy } from './find-study.ts'
import type { GaugeProgress, StartGaugeStudy } from './gauge-studies.ts'
import { nextStep } from './study-order.ts'

/** A unit that is promised may be measured too: nothing of it changes. */
const measurableStates: readonly UnitState[] = [...testableStates, 'reserved', 'rework']

const wholeIn = (name: string, value: number, { least, most }: { least: number; most: number }): number => {
  if (Number.isInteger(value) && value >= least && value <= most) return value
  throw new BoardwrightError('bad-argument', `${name} must be a whole number from ${least} to ${most}; it is ${value}.`)
}

/** Begins a gauge study. Errors: bad-argument, bad-serial, gauge-study-open, not-found, unit-not-testable. */
export function startStudy(context: VerbContext, what: StartGaugeStudy): GaugeProgress {
  const product = findProduct(context, what.productId)
  const serials = what.serials.map(readSerial)
  wholeIn('The number of boards', serials.length, gaugeStudySizes.units)
  const repeats = wholeIn('The number of repeats', what.repeats ?? 3, gaugeStudySizes.repeats)
  const setUps = wholeIn('The number of set-ups', what.setUps ?? 2, gaugeStudySizes.setUps)
  const seed = what.seed ?? Math.floor(context.clock.now().getTime() / 1000)
  wholeIn('The seed', seed, { least: 0, most: Number.MAX_SAFE_INTEGER })
  const { store, station } = context
  return store.transaction(() => {
    refuseSecondStudy(context, { productId: product.id, rig: what.rig })
    refuseBoards(context, product, serials)
    const startedAt = nowOf(context)
    const head = { startedAt, station, productId: product.id, revision: product.revision, rig: what.rig, seed }
    const { settings } = product.testPlan
    const id = store.gaugeStudies.insert({ ...head, serials, repeats, setUps, settings, note: what.note ?? '' })
    const detail = { productId: product.id, rig: what.rig, serials, repeats, setUps, seed }
    writeJournal(context, { at: startedAt, verb: 'start-gauge-study', noun: 'gauge-study', key: String(id), detail })
    const study = findStudy(context, id)
    return { study, next: nextStep(study) }
  })
}

function refuseSecondStudy({ store }: VerbContext, which: { productId: string; rig: StartGaugeStudy['rig'] }): void {
  const open = store.gaugeStudies
    .list(which.productId)
    .find(({ rig, state }) => rig === which.rig && state === 'running')
  if (open)
    throw new BoardwrightError('gauge-study-open', `Gauge study ${open.id} on this rig still waits for its readings.`)
}

function refuseBoards({ store }: VerbContext, product: Product, serials: readonly string[]): void {
  if (new Set(serials).size < serials.length)
    throw new BoardwrightError('bad-argument', 'Each board takes part once: a serial number is there twice.')
  for (const serial of serials) {
    const unit = store.units.find(serial)
    if (!unit) throw new BoardwrightError('not-found', `There is no unit ${serial} in this workshop.`)
    if (unit.productId !== product.id)
      throw new BoardwrightError('bad-argument', `Unit ${serial} is a ${unit.productId}, no ${product.id}.`)
    if (!measurableStates.includes(unit.state))
      throw new BoardwrightError('unit-not-testable', `Unit ${serial} is ${unit.state}, so it cannot be measured.`)
  }
}
