import type { Setting } from '../model/product.ts'
import type { Against } from './band-from-tolerance.ts'
import { jointCovariance } from './cloud-statistics.ts'
import type { Spread } from './draw-board.ts'
import { dotProduct, leadingDirections } from './leading-directions.ts'
import type { Netlist } from './netlist.ts'
import { RandomSource } from './random.ts'
import { drawCloud, type ToleranceCloud } from './tolerance-cloud.ts'
import type { MeasuredLots } from './tolerance-draw.ts'

/** How a statistic of healthy boards is spread: its cube root is close to normal, with this mean and deviation. */
export type Calibration = { mean: number; deviation: number }

/**
 * What healthy boards look like at several settings together. Everything is in units of the measurement's own uncertainty
 * ("whitened"), the settings laid one after the other over the grid.
 */
export type HealthyModel = {
  settings: readonly string[]
  frequencyHz: Float64Array
  /** Standard uncertainty of a measured point, dB. */
  measurementDb: number
  mean: Float64Array
  directions: Float64Array[]
  variances: Float64Array
  /** Distance within the directions, and beyond them. */
  inside: Calibration
  outside: Calibration
}

export type HealthyModelOptions = {
  netlist: Netlist
  /** The settings that are measured. */
  settings: readonly Pick<Setting, 'name' | 'positions'>[]
  /** What deviations are taken from: the circuit as designed, or the reference board (default). */
  against?: Against
  /** Standard uncertainty of a point, dB (0.05), and of the level of the whole rig, dB (0.05). */
  measurementDb?: number
  levelDb?: number
  /** Standard uncertainty of the level from one contact, and so one setting, to the next, dB (0). */
  contactDb?: number
  /** Frequencies looked at, Hz, rising (the tolerance grid). */
  frequencyHz?: ArrayLike<number>
  boards?: number
  seed?: number
  spread?: Spread
  measured?: MeasuredLots
}

/** Most directions that are kept: more than the parts of an on-board preamp can make visible. */
const mostDirections = 24
/** Directions along which healthy boards spread less than this share of the measurement's variance belong to the rest. */
const leastVariance = 0.2

/**
 * Learns the healthy covariance from one cloud of drawn boards and calibrates its distances on another.
 *
 * Source: principal-component monitoring with T² inside and squared residual outside, J. E. Jackson, "A User's Guide to
 * Principal Components", chapter 2.
 */
export const learnHealthyModel = (options: HealthyModelOptions): HealthyModel => {
  const { settings, against = 'another-board', measurementDb = 0.05, seed = 1 } = options
  const rig = { measurementDb, levelDb: options.levelDb ?? 0.05, contactDb: options.contactDb ?? 0 }
  const boards = options.boards ?? 1000
  const cloud = drawCloud({ ...options, boards, seed })
  const { size, mean, covariance } = jointCovariance(cloud)
  const twice = against === 'another-board' ? 2 : 1
  const points = cloud.frequencyHz.length
  for (let k = 0; k < covariance.length; k++) {
    const sameSetting = Math.floor(k / size / points) === Math.floor((k % size) / points)
    const level = rig.levelDb ** 2 + (sameSetting ? rig.contactDb ** 2 : 0)
    covariance[k] = (covariance[k] * twice + level) / measurementDb ** 2
  }
  const model = modelOf({
    settings: settings.map((s) => s.name),
    frequencyHz: cloud.frequencyHz,
    measurementDb,
    // The mean of a difference of two boards is zero.
    mean: twice === 2 ? new Float64Array(size) : mean.map((x) => x / measurementDb),
    covariance,
  })
  const fresh = drawCloud({ ...options, boards: Math.max(500, boards / 2), seed: seed + 7919 })
  return calibrateModel(model, measuredDeviations(fresh, against, rig, seed))
}

/** A model of whitened deviations with this mean and covariance (the measurement's own unit variance left out), uncalibrated. */
export const modelOf = (
  what: Pick<HealthyModel, 'settings' | 'frequencyHz' | 'measurementDb' | 'mean'> & { covariance: Float64Array },
): HealthyModel => {
  const { covariance, ...rest } = what
  const { variances, directions } = leadingDirections(covariance, rest.mean.length, mostDirections)
  const kept = variances.findIndex((v) => v < leastVariance)
  const count = kept < 0 ? variances.length : Math.max(1, kept)
  return {
    ...rest,
    directions: directions.slice(0, count),
    variances: variances.slice(0, count),
    inside: { mean: 0, deviation: 1 },
    outside: { mean: 0, deviation: 1 },
  }
}

/** The model with its distances calibrated on whitened deviations that it was not learnt from. */
export const calibrateModel = (model: HealthyModel, deviations: readonly Float64Array[]): HealthyModel => {
  const distances = deviations.map((y) => distancesOf(model, y))
  return {
    ...model,
    inside: calibrate(distances.map((d) => d.inside)),
    outside: calibrate(distances.map((d) => d.outside)),
  }
}

/** Deviations as a rig would measure them: with noise on each point and an error of the level. */
const measuredDeviations = (
  cloud: ToleranceCloud,
  against: Against,
  { measurementDb, levelDb, contactDb }: { measurementDb: number; levelDb: number; contactDb: number },
  seed: number,
): Float64Array[] => {
  const random = new RandomSource(seed + 104_729)
  const n = cloud.frequencyHz.length
  return Array.from({ length: cloud.boards }, (_, b) => {
    const level = levelDb * random.normal()
    const contacts = cloud.settings.map(() => contactDb * random.normal())
    const other = (b + 1) % cloud.boards
    return Float64Array.from({ length: n * cloud.settings.length }, (_, k) => {
      const setting = Math.floor(k / n)
      const { deviationDb } = cloud.settings[setting]
      const i = k % n
      const from = against === 'another-board' ? deviationDb[other * n + i] : 0
      return (deviationDb[b * n + i] - from + level + contacts[setting]) / measurementDb + random.normal()
    })
  })
}

/**
 * Squared distances of a whitened deviation; `pull`: how much each place adds to the distance inside, as its slope; `rest`:
 * what is left of the deviation outside the directions.
 */
export const distancesOf = (
  { mean, directions, variances }: HealthyModel,
  deviation: Float64Array,
): { inside: number; outside: number; pull: Float64Array; rest: Float64Array } => {
  const rest = deviation.map((x, i) => x - mean[i])
  const pull = new Float64Array(rest.length)
  let inside = 0
  directions.forEach((direction, k) => {
    const score = dotProduct(direction, rest)
    // The measurement adds one unit of variance along every direction.
    inside += score ** 2 / (variances[k] + 1)
    const weight = score / (variances[k] + 1)
    for (let i = 0; i < rest.length; i++) {
      rest[i] -= score * direction[i]
      pull[i] += weight * direction[i]
    }
  })
  return { inside, outside: dotProduct(rest, rest), pull, rest }
}

/** What a healthy board that measures like this would most probably show: the whitened deviation less what is noise. */
export const explainedBy = ({ mean, directions, variances }: HealthyModel, deviation: Float64Array): Float64Array => {
  const rest = deviation.map((x, i) => x - mean[i])
  const explained = mean.slice()
  directions.forEach((direction, k) => {
    const weight = (dotProduct(direction, rest) * variances[k]) / (variances[k] + 1)
    for (let i = 0; i < explained.length; i++) explained[i] += weight * direction[i]
  })
  return explained
}

/** Source: cube-root transformation of E. B. Wilson and M. M. Hilferty, PNAS 17 (1931). */
const calibrate = (distances: number[]): Calibration => {
  const roots = distances.map(Math.cbrt)
  const mean = roots.reduce((a, b) => a + b, 0) / roots.length
  const variance = roots.reduce((s, x) => s + (x - mean) ** 2, 0) / (roots.length - 1)
  return { mean, deviation: Math.sqrt(variance) }
}
