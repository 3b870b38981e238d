import { modelAgainst } from '../circuit/reference-model.ts'
import type { MeasuredDeviation } from '../circuit/shape-test.ts'
import { testShape } from '../circuit/shape-test.ts'
import type { Product } from '../model/product.ts'
import type { Reference } from '../model/reference.ts'
import type { SettingMeasurement } from '../model/test-run.ts'
import type { Judgement, Reason, ShapeJudgement } from '../model/verdict.ts'
import { curveOnGrid } from '../response/curve/curve-on-grid.ts'
import { healthyBoards } from './healthy-boards.ts'

/**
 * Asks whether a healthy board could have curves of this shape at all, whatever band they keep.
 * @returns undefined where the plan does not ask for it, or where curves are missing, upside down or end too early: then
 *   the judge has said already that the run proves nothing
 * Errors: bad-circuit, bad-quantity.
 */
export function judgeShape(options: {
  product: Product
  reference: Reference
  measurements: readonly SettingMeasurement[]
}): { judgement: ShapeJudgement; message: string } | undefined {
  const { product, reference, measurements } = options
  const { shape, settings } = product.testPlan
  if (!shape) return undefined
  const healthy = healthyBoards(product)
  const { frequencyHz, measurementDb } = healthy.board
  if (frequencyHz.length === 0) return undefined
  const curves: { setting: string; frequencyHz: number[]; gainDb: number[] }[] = []
  const deviations: MeasuredDeviation[] = []
  for (const setting of settings) {
    const measurement = measurements.find((one) => one.setting === setting)
    const ofReference = reference.settings.find((one) => one.setting === setting)
    if (!measurement?.usable || !measurement.curve || !ofReference) return undefined
    if (measurement.polarity !== ofReference.polarity) return undefined
    const rigDb = product.testPlan.rigUncertaintyDb
    const deviation = deviationOf({
      setting,
      curve: measurement.curve,
      reference: ofReference.curve,
      rigDb,
      measurementDb,
    })
    if (!reaches(deviation, frequencyHz[0], frequencyHz[frequencyHz.length - 1])) return undefined
    deviations.push(deviation)
    curves.push({ setting, ...ofReference.curve })
  }
  const { falseFail } = shape
  const { passed, message, probability, insideProbability, outsideProbability, worst } = testShape({
    model: modelAgainst(healthy, curves),
    deviations,
    limit: falseFail,
  })
  const verdict = passed ? 'pass' : 'fail'
  return { judgement: { verdict, probability, insideProbability, outsideProbability, falseFail, worst }, message }
}

type Curve = NonNullable<SettingMeasurement['curve']>

/** Unit against reference. A point that is less certain than the model's own counts for less. */
function deviationOf(options: {
  setting: string
  curve: Curve
  reference: Curve
  rigDb: number
  measurementDb: number
}): MeasuredDeviation {
  const { setting, curve, rigDb, measurementDb } = options
  const reference = curveOnGrid({ curve: options.reference, frequencyHz: curve.frequencyHz })
  const known = curve.frequencyHz.map((_, i) => i).filter((i) => Number.isFinite(reference.gainDb[i]))
  return {
    setting,
    frequencyHz: known.map((i) => curve.frequencyHz[i]),
    deviationDb: known.map((i) => curve.gainDb[i] - reference.gainDb[i]),
    weight: known.map(
      (i) => measurementDb / Math.hypot(curve.uncertaintyDb[i], reference.uncertaintyDb[i], rigDb, Number.MIN_VALUE),
    ),
  }
}

/** Two steps of the measuring grid. */
const slack = 2 ** (1 / 12)

const reaches = ({ frequencyHz }: MeasuredDeviation, fromHz: number, toHz: number): boolean =>
  frequencyHz.length > 0 && frequencyHz[0] <= fromHz * slack && frequencyHz[frequencyHz.length - 1] >= toHz / slack

/** Puts the judgement of the shape into that of the run. A shape that no healthy board has fails, whatever else is open. */
export function withShape(judgement: Judgement, shape: ReturnType<typeof judgeShape>): Judgement {
  if (!shape) return judgement
  const whole = { ...judgement, shape: shape.judgement }
  // What fails already has a plainer reason.
  if (shape.judgement.verdict === 'pass' || judgement.verdict === 'fail') return whole
  const { setting } = shape.judgement.worst
  const oneIn =
    shape.judgement.probability > 1e-9 ? Math.round(1 / shape.judgement.probability) : Number.POSITIVE_INFINITY
  const rarity = oneIn > 10_000 ? 'Fewer than one healthy board in 10 000' : `One healthy board in ${oneIn}`
  const reason: Reason = {
    code: 'shape',
    verdict: 'fail',
    setting,
    message: `${shape.message} ${rarity} looks like this.`,
  }
  const others = judgement.reasons.filter((one) => one.code !== 'passed')
  return { ...whole, verdict: 'fail', reasons: [reason, ...others] }
}
