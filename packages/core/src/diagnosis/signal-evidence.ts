import { outputNoiseOf } from '../circuit/noise.ts'
import { noiseLevelV } from '../circuit/noise-level.ts'
import { fullScaleOf, positionsOf } from '../circuit/simulate-recording.ts'
import type { Product } from '../model/product.ts'
import type { SettingMeasurement } from '../model/test-run.ts'
import { aWeighting } from '../response/curve/a-weighting.ts'
import { restingPointOf } from './direct-evidence.ts'
import { amplifiers } from './parts.ts'
import { predict, type Tap } from './predict.ts'
import { nominalValues, overridesAt, type PreparedHypothesis } from './prepare-hypothesis.ts'

/** What a hypothesis means at a setting, worked out once: every board asks the same. */
class ByHypothesis<Value> {
  private readonly kept = new WeakMap<PreparedHypothesis, Map<string, Value>>()
  of(prepared: PreparedHypothesis, setting: string, make: () => Value): Value {
    const map = this.kept.get(prepared) ?? new Map<string, Value>()
    this.kept.set(prepared, map)
    const found = map.get(setting)
    if (found !== undefined) return found
    const made = make()
    map.set(setting, made)
    return made
  }
}

const hearingHz = Array.from({ length: 31 }, (_, i) => 20 * 10 ** (i / 10))
const sparseOmega = Float64Array.of(60, 200, 700, 2000, 5000).map((f) => 2 * Math.PI * f)

/** A board this far below the healthy one is heard as silence by the rig, dB. */
const silentDb = -35
/** So far below the stimulus the rig hears nothing, whatever a healthy board would show there, dB. */
const unheardDb = -45
/** Penalty for each decibel that a hypothesis is louder than silence, and at most. */
const silentPerDb = 0.5
const silentMost = 60

const atNominal = (prepared: PreparedHypothesis, tap: Tap) =>
  predict(prepared, { latents: new Float64Array(prepared.twin.latents.count), free: 0 }, tap)

const loudest = (prepared: PreparedHypothesis, tap: Tap): number => {
  const { re, im } = atNominal(prepared, tap)
  return re.reduce((most, x, i) => Math.max(most, Math.hypot(x, im[i])), 1e-12)
}

/** Level below which the rig hears nothing at a place, dB re 1 V/V. */
export const silenceLimitDb = (healthy: PreparedHypothesis, tap: Pick<Tap, 'positions' | 'node'>): number =>
  Math.max(unheardDb, 20 * Math.log10(loudest(healthy, { ...tap, omega: sparseOmega })) + silentDb)

/**
 * ln of the probability that a setting is silent under a hypothesis.
 *
 * @param options.node where the probe stood; null for the output
 */
export const silenceEvidence = (options: {
  product: Product
  prepared: PreparedHypothesis
  healthy: PreparedHypothesis
  setting: string
  node: string | null
}): number => {
  const { product, prepared, healthy, setting, node } = options
  const tap: Tap = { positions: positionsOf(product, setting), node, omega: sparseOmega }
  const loudDb = 20 * Math.log10(loudest(prepared, tap))
  return -Math.min(silentMost, Math.max(0, silentPerDb * (loudDb - silenceLimitDb(healthy, tap))))
}

/** How far short of full scale a hypothesis may fall and still clip: tolerances, and the overshoot of a clipping op-amp, dB. */
const loudMarginDb = 4

/** ln of the probability that a recording clips under a hypothesis. */
export const loudnessEvidence = (options: {
  product: Product
  prepared: PreparedHypothesis
  setting: string
  node: string | null
}): number => {
  const { product, prepared, setting, node } = options
  const loudDb =
    20 * Math.log10(loudest(prepared, { positions: positionsOf(product, setting), node, omega: sparseOmega }))
  const fullDb = 20 * Math.log10(fullScaleOf(product) / product.testPlan.levelV)
  return -Math.min(silentMost, Math.max(0, silentPerDb * (fullDb - loudMarginDb - loudDb)))
}

/** Board noise above what was measured by more than this speaks against a hypothesis, dB; beyond it, its deviation. */
const noiseMarginDb = 2
const noiseSigmaDb = 2

/**
 * ln of the probability of the measured noise: the interface can only add to a board's own, so a hypothesis that is noisier
 * than what was measured is wrong, while a quieter one may be right.
 */
export const noiseEvidence = (product: Product, prepared: PreparedHypothesis, measured: SettingMeasurement): number => {
  if (!measured.noise || prepared.branches.length > 0) return 0
  const dbfs = noises.of(prepared, measured.setting, () => noiseDbfsOf(product, prepared, measured.setting))
  const above = Math.max(0, dbfs - noiseMarginDb - measured.noise.aWeightedDbfs) / noiseSigmaDb
  return -0.5 * Math.min(36, above * above)
}

const noises = new ByHypothesis<number>()

const noiseDbfsOf = (product: Product, prepared: PreparedHypothesis, setting: string): number => {
  const positions = positionsOf(product, setting)
  const { netlist } = prepared.twin
  const values = nominalValues(prepared)
  for (const { index, value } of overridesAt(prepared, positions)) values[index] = value
  const { density } = outputNoiseOf({ netlist, values, positions, frequencyHz: hearingHz })
  const volts = noiseLevelV(hearingHz, density, aWeighting)
  return 20 * Math.log10((volts * Math.SQRT2) / fullScaleOf(product) + 1e-12)
}

/** Distortion that means clipping, and that surely does not, per cent. */
const clippedPercent = 3
const cleanPercent = 0.5
/** How often a clipping board measures clean, or a clean one distorted. */
const strange = 0.03

/** ln of the probability of the measured distortion: a board that is driven beyond its swing distorts, another does not. */
export const distortionEvidence = (
  product: Product,
  prepared: PreparedHypothesis,
  { distortion, setting }: SettingMeasurement,
): number => {
  if (!distortion || !prepared.restKnown) return 0
  const thd = distortion.thdPercent.filter((_, i) => {
    const f = distortion.frequencyHz[i]
    return f >= 50 && f <= 6000
  })
  const most = Math.max(0, ...thd)
  if (thd.length === 0 || (most > cleanPercent && most < clippedPercent)) return 0
  const clips = limits.of(prepared, setting, () => isDrivenToItsLimit(product, prepared, setting))
  return Math.log(clips === most >= clippedPercent ? 1 - strange : strange)
}

const limits = new ByHypothesis<boolean>()

const isDrivenToItsLimit = (product: Product, prepared: PreparedHypothesis, setting: string): boolean => {
  const positions = positionsOf(product, setting)
  const point = restingPointOf(prepared, positions)
  return amplifiers(product.circuit).some(({ designator, nodes }) => {
    const state = point.amplifiers.find((a) => a.designator === designator)
    if (!state || state.saturated) return false
    const peakV = product.testPlan.levelV * loudest(prepared, { positions, node: nodes[2], omega: sparseOmega })
    return peakV > Math.min(state.highV - state.outputV, state.outputV - state.lowV)
  })
}
