import { normalProbability } from '../statistics/normal.ts'
import { type Calibration, distancesOf, explainedBy, type HealthyModel } from './healthy-model.ts'

/** Deviations of one board at one setting, dB, on a rising grid of its own. */
export type MeasuredDeviation = {
  setting: string
  frequencyHz: ArrayLike<number>
  deviationDb: ArrayLike<number>
  /** How certain each point is: 1 as the model's own measurement, less for a point that is less certain. All 1 when left out. */
  weight?: ArrayLike<number>
}

export type ShapeJudgement = {
  passed: boolean
  /** Probability that a healthy board looks at least this strange. */
  probability: number
  /** The same for how far out the curves lie, and for what no tolerance can do. */
  insideProbability: number
  outsideProbability: number
  /** Where the curves leave the healthy shapes most. */
  worst: { setting: string; frequencyHz: number; excessDb: number }
  /** The judgement in words. */
  message: string
}

/** Probability below which a board fails: one healthy board in 250. */
const limit = 0.004

/**
 * Asks whether a board's curves could be those of a healthy board, whatever band they keep.
 *
 * @param deviations one for each setting of the model, in any order, against what the model was learnt for
 */
export const testShape = (options: {
  model: HealthyModel
  deviations: readonly MeasuredDeviation[]
  limit?: number
}): ShapeJudgement => {
  const { model, deviations } = options
  const whitened = weighUncertain(model, layOut(model, deviations), layOutWeights(model, deviations))
  const { inside, outside, pull, rest } = distancesOf(model, whitened)
  const insideProbability = tailOf(inside, model.inside)
  const outsideProbability = tailOf(outside, model.outside)
  // Two looks at one board: the smaller probability counts double.
  const probability = Math.min(1, 2 * Math.min(insideProbability, outsideProbability))
  const beyond = outsideProbability <= insideProbability
  // Inside, the place that adds most to the distance: the largest deviation may lie where healthy boards spread most.
  const worst = beyond ? worstPlace(model, rest, rest) : worstPlace(model, pull, whitened)
  const judgement = {
    passed: probability >= (options.limit ?? limit),
    probability,
    insideProbability,
    outsideProbability,
    worst,
  }
  return { ...judgement, message: inWords(judgement, beyond) }
}

const tailOf = (distance: number, { mean, deviation }: Calibration): number =>
  normalProbability({ z: (Math.cbrt(distance) - mean) / deviation, tail: 'upper' })

/**
 * What is less certain than the model's own measurement counts for less: of each such point only a share of what healthy
 * boards do not explain is kept. To draw the whole deviation in would bend the curves, and healthy boards out of shape.
 */
const weighUncertain = (model: HealthyModel, whitened: Float64Array, weights: Float64Array): Float64Array => {
  if (weights.every((w) => w >= 1)) return whitened
  const explained = explainedBy(model, whitened)
  return whitened.map((y, k) => explained[k] + Math.min(1, weights[k]) * (y - explained[k]))
}

const layOutWeights = (model: HealthyModel, deviations: readonly MeasuredDeviation[]): Float64Array =>
  layOut(
    { ...model, measurementDb: 1 },
    deviations.map(({ weight, ...rest }) => ({
      ...rest,
      deviationDb: weight ?? new Float64Array(rest.frequencyHz.length).fill(1),
    })),
  )

/** Whitens deviations and lays them one setting after the other on the grid of a model. */
export const layOut = (
  model: Pick<HealthyModel, 'settings' | 'frequencyHz' | 'measurementDb'>,
  deviations: readonly MeasuredDeviation[],
): Float64Array => {
  const n = model.frequencyHz.length
  const all = new Float64Array(n * model.settings.length)
  model.settings.forEach((setting, s) => {
    const measured = deviations.find((d) => d.setting === setting)
    // The caller names the settings when the model is learnt; one that is missing now is a mistake in the program.
    if (!measured) throw new Error(`The shape test needs the deviation at "${setting}".`)
    model.frequencyHz.forEach((f, i) => {
      all[s * n + i] = valueAt(measured, f) / model.measurementDb
    })
  })
  return all
}

/** Linear interpolation over log f; the end values beyond the ends. */
const valueAt = ({ frequencyHz, deviationDb }: MeasuredDeviation, f: number): number => {
  const last = frequencyHz.length - 1
  if (f <= frequencyHz[0]) return deviationDb[0]
  if (f >= frequencyHz[last]) return deviationDb[last]
  let above = 1
  while (frequencyHz[above] < f) above++
  const t = Math.log(f / frequencyHz[above - 1]) / Math.log(frequencyHz[above] / frequencyHz[above - 1])
  return deviationDb[above - 1] + t * (deviationDb[above] - deviationDb[above - 1])
}

/**
 * The place where `weight` times `deviation` is greatest; neighbours are averaged, so that one noisy point does not take the
 * blame.
 */
const worstPlace = (model: HealthyModel, weight: Float64Array, deviation: Float64Array): ShapeJudgement['worst'] => {
  const n = model.frequencyHz.length
  let most = Number.NEGATIVE_INFINITY
  let best = { setting: model.settings[0], frequencyHz: model.frequencyHz[0], excessDb: 0 }
  model.settings.forEach((setting, s) => {
    for (let i = 0; i < n; i++) {
      const from = s * n + Math.max(0, i - 1)
      const to = s * n + Math.min(n - 1, i + 1)
      let [weights, sum] = [0, 0]
      for (let k = from; k <= to; k++) {
        weights += weight[k]
        sum += deviation[k]
      }
      const count = to - from + 1
      if ((weights * sum) / count ** 2 <= most) continue
      most = (weights * sum) / count ** 2
      best = { setting, frequencyHz: model.frequencyHz[i], excessDb: (sum / count) * model.measurementDb }
    }
  })
  return best
}

const inWords = (judgement: Omit<ShapeJudgement, 'message'>, beyond: boolean): string => {
  const { passed, worst } = judgement
  if (passed) return 'The curves have a shape that parts within their tolerances can give.'
  const size = `${Math.abs(worst.excessDb).toFixed(1)} dB ${worst.excessDb > 0 ? 'above' : 'below'}`
  const place = `at ${worst.setting} near ${roundFrequency(worst.frequencyHz)}`
  if (beyond) return `No healthy board has this shape: ${place} the curve lies ${size} what the rest of it allows.`
  return `Taken together the curves lie further out than parts within tolerance bring them, most ${place}: ${size} the reference.`
}

const roundFrequency = (frequencyHz: number): string =>
  frequencyHz < 1000 ? `${Number(frequencyHz.toPrecision(2))} Hz` : `${Number((frequencyHz / 1000).toPrecision(2))} kHz`
