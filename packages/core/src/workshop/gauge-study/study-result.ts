import { BoardwrightError } from '../../model/error.ts'
import type { GaugeCurve, GaugeQuantity, GaugeResult, GaugeStudy } from '../../model/gauge-study.ts'
import type { Product } from '../../model/product.ts'
import { gridFrequenciesHz, gridIndexOf1kHz } from '../../response/curve/grid.ts'
import { guardBandDb } from '../../response/judge/judge-guard.ts'
import { bandLimits } from '../../response/judge/tolerance-band.ts'
import { gaugeByAnova } from '../../statistics/gauge-by-anova.ts'
import type { GaugeReading } from '../../statistics/gauge-readings.ts'
import { findProduct } from '../find-product.ts'
import type { Store, StoredGaugeCurve } from '../ports.ts'
import type { VerbContext } from '../verb-context.ts'
import { findStudy } from './find-study.ts'
import { gaugeConfidence, quantityFigures } from './gauge-figures.ts'
import { gaugeWords } from './gauge-words.ts'
import { withRigUncertainty } from './with-rig-uncertainty.ts'

/** One octave of the measuring grid, which is base ten: 24 points. */
const octaveSteps = 24

/**
 * What a complete study says: figures at 1 kHz and at octaves by both methods, standard deviations over the judged
 * frequencies by analysis of variance, and what the judge would count with.
 * Errors: gauge-study-open, not-found.
 */
export function studyResult(context: VerbContext, id: number): GaugeResult {
  const { store } = context
  return store.snapshot(() => {
    const study = findStudy(context, id)
    if (study.state !== 'complete')
      throw new BoardwrightError(
        'gauge-study-open',
        `Gauge study ${id} has ${study.readings} of its ${study.wanted} readings.`,
      )
    const product = findProduct(context, study.productId, study.revision)
    const figures = figuresOf(store, { study, product })
    const rigUncertaintyDb = roundedUp(figures.overall.gaugeDb)
    const effect = effectOf(context, { study, product, rigUncertaintyDb })
    const head = { studyId: id, confidence: gaugeConfidence, ...figures, effect }
    return { ...head, words: gaugeWords(study, head) }
  })
}

type Figures = Pick<GaugeResult, 'quantities' | 'curves' | 'overall'>

/** The readings of a complete study never change, and their analysis takes a good part of a second. */
const known = new WeakMap<Store, Map<number, Figures>>()

function figuresOf(store: Store, { study, product }: { study: GaugeStudy; product: Product }): Figures {
  const kept = known.get(store) ?? new Map<number, Figures>()
  known.set(store, kept)
  const found = kept.get(study.id)
  if (found) return found
  const readings = store.gaugeStudies.curves(study.id)
  const settings = study.settings.map((setting) => ofSetting({ product, setting, readings }))
  const curves = settings.map(({ curve }) => curve)
  const quantities = settings.flatMap((one) => one.quantities)
  const figures = { quantities, curves, overall: overallOf(curves) }
  kept.set(study.id, figures)
  return figures
}

/** To a thousandth of a decibel, upwards: nobody reads more digits, and none is lost for the judge. */
const roundedUp = (db: number): number => Math.ceil(db * 1000 - 1e-9) / 1000

function ofSetting(options: { product: Product; setting: string; readings: readonly StoredGaugeCurve[] }): {
  quantities: GaugeQuantity[]
  curve: GaugeCurve
} {
  const { product, setting } = options
  const readings = options.readings.filter((one) => one.setting === setting)
  const band = product.testPlan.bands.find((one) => one.setting === setting)
  const grid = readings[0].frequencyHz.filter((hz) => readings.every(({ frequencyHz }) => frequencyHz.includes(hz)))
  const limits = band ? bandLimits({ band, frequencyHz: grid }) : undefined
  const judged = limits?.frequencyHz ?? grid
  const at = (hz: number): GaugeReading[] => readingsOf(readings, (one) => one.gainDb[one.frequencyHz.indexOf(hz)])
  const level = quantityFigures({
    quantity: 'level',
    setting,
    frequencyHz: gridFrequenciesHz[gridIndexOf1kHz],
    toleranceDb: 2 * product.testPlan.gainToleranceDb,
    readings: readingsOf(readings, (one) => one.gainAt1kHzDb),
  })
  const octaves = judged.flatMap((frequencyHz, i) => {
    const steps = gridFrequenciesHz.indexOf(frequencyHz) - gridIndexOf1kHz
    if (!limits || steps === 0 || steps % octaveSteps !== 0) return []
    const toleranceDb = limits.upperDb[i] - limits.lowerDb[i]
    return [quantityFigures({ quantity: 'gain', setting, frequencyHz, toleranceDb, readings: at(frequencyHz) })]
  })
  const tables = judged.map((hz) => gaugeByAnova({ readings: at(hz), confidence: gaugeConfidence }))
  return {
    quantities: [level, ...octaves],
    curve: {
      setting,
      frequencyHz: judged,
      repeatabilityDb: tables.map((table) => table.repeatability.standardDeviation),
      reproducibilityDb: tables.map((table) => table.reproducibility.standardDeviation),
      gaugeDb: tables.map((table) => table.gauge.standardDeviation),
      partDb: tables.map((table) => table.part.standardDeviation),
    },
  }
}

const readingsOf = (readings: readonly StoredGaugeCurve[], read: (one: StoredGaugeCurve) => number): GaugeReading[] =>
  readings.map((one) => ({ part: one.serial, appraiser: `set-up ${one.setUp}`, value: read(one) }))

const rootMeanSquare = (values: readonly number[]): number =>
  Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / values.length)

/** Of the setting where the rig is worst. The factor 1.41 is that of AIAG's manual. */
function overallOf(curves: readonly GaugeCurve[]): GaugeResult['overall'] {
  const all = curves.map((curve) => ({
    setting: curve.setting,
    repeatabilityDb: rootMeanSquare(curve.repeatabilityDb),
    reproducibilityDb: rootMeanSquare(curve.reproducibilityDb),
    gaugeDb: rootMeanSquare(curve.gaugeDb),
    partDb: rootMeanSquare(curve.partDb),
  }))
  const worst = all.reduce((a, b) => (b.gaugeDb > a.gaugeDb ? b : a))
  const classes = worst.gaugeDb > 0 ? Math.max(1, Math.floor((1.41 * worst.partDb) / worst.gaugeDb)) : null
  return { ...worst, classes }
}

function effectOf(
  { store }: VerbContext,
  what: { study: GaugeStudy; product: Product; rigUncertaintyDb: number },
): GaugeResult['effect'] {
  const { study, product, rigUncertaintyDb } = what
  const inForce = store.rigUncertainties.inForce({ productId: study.productId, rig: study.rig })
  const { confidence, rigUncertaintyDb: presentDb } = withRigUncertainty(product, inForce).testPlan
  return {
    presentDb,
    presentSource: inForce?.source ?? 'test plan',
    rigUncertaintyDb,
    guardBandBeforeDb: guardBandDb({ confidence, uncertaintiesDb: [presentDb] }),
    guardBandAfterDb: guardBandDb({ confidence, uncertaintiesDb: [rigUncertaintyDb] }),
  }
}
