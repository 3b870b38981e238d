import { positionsOf } from '../circuit/simulate-recording.ts'
import type { Diagnosis } from '../model/diagnosis.ts'
import { BoardwrightError } from '../model/error.ts'
import type { Product } from '../model/product.ts'
import type { Reference } from '../model/reference.ts'
import type { SettingMeasurement } from '../model/test-run.ts'
import type { CheckPlace } from './check-outcomes.ts'
import { type DirectReadings, directEvidence, directEvidenceOfNone } from './direct-evidence.ts'
import { makeCase, type RigSpread, referenceBoard } from './evidence-case.ts'
import type { Fit } from './fit.ts'
import { groupHypotheses } from './group.ts'
import { hasCurve, isSilent, isTooLoud } from './heard.ts'
import { hypothesesOf, type KindWeights } from './hypotheses.ts'
import { posteriorOf } from './posterior.ts'
import { predict } from './predict.ts'
import { type PreparedHypothesis, prepareHypothesis } from './prepare-hypothesis.ts'
import { makeReading, type Reading } from './reading.ts'
import {
  distortionEvidence,
  loudnessEvidence,
  noiseEvidence,
  silenceEvidence,
  silenceLimitDb,
} from './signal-evidence.ts'
import { suggestChecks } from './suggest-checks.ts'
import { makeSuspects, summaryWords } from './suspects.ts'
import { runTournament } from './tournament.ts'
import { twinOf } from './twin.ts'

/** A sweep read with the probe on a node instead of at the output. */
export type ProbeMeasurement = { node: string; measurement: SettingMeasurement }

export type DiagnoseOptions = DirectReadings & {
  product: Product
  /** What the rig measured, one per setting; settings may be missing. */
  measurements: readonly SettingMeasurement[]
  /** The reference board: then the board is compared with it and not with the bare twin. */
  reference?: Pick<Reference, 'settings'>
  probes?: readonly ProbeMeasurement[]
  /** Designators of parts that were measured by themselves and found as drawn. */
  soundParts?: readonly string[]
  /** Designators of parts that were measured by themselves and found wrong. */
  faultyParts?: readonly string[]
  /** How often each kind of fault is met, where a workshop knows better. */
  weights?: KindWeights
  rig?: Partial<RigSpread>
  /** How many checks to suggest (3). */
  checks?: number
}

/** Where a recording was made: at the output (null), or with a probe on a node. */
type Place = { setting: string; node: string | null }

type Prepared = { hypotheses: PreparedHypothesis[]; none: number }
const preparedSets = new WeakMap<Product, Map<string, Prepared>>()

/** Hypotheses of a product made ready; worked out once for a product object. */
export const prepareProduct = (product: Product, weights: KindWeights = {}): Prepared => {
  const key = JSON.stringify(weights)
  const kept = preparedSets.get(product) ?? new Map<string, Prepared>()
  preparedSets.set(product, kept)
  const found = kept.get(key)
  if (found) return found
  const { hypotheses, none } = hypothesesOf(product, weights)
  const twin = twinOf(product.circuit)
  const made = { hypotheses: hypotheses.map((h) => prepareHypothesis(twin, h)), none }
  kept.set(key, made)
  return made
}

/**
 * Says what is probably wrong with a board, from its curves and whatever else is known, and what to check next. Pure: the
 * answer to a check goes in with the next call.
 *
 * @throws BoardwrightError `bad-argument` when there is nothing to go by, `setting-unknown`, `bad-circuit`
 */
export const diagnose = (options: DiagnoseOptions): Diagnosis => {
  const { product, measurements, probes = [] } = options
  const { hypotheses, none } = prepareProduct(product, options.weights)
  const readings = collectReadings(options, hypotheses[0])
  const heard = [...measurements.map((measurement) => ({ node: null, measurement })), ...probes]
  const placesOf = (test: (measurement: SettingMeasurement) => boolean): Place[] =>
    heard.filter((h) => test(h.measurement)).map(({ node, measurement: { setting } }) => ({ setting, node }))
  const silent = placesOf(isSilent)
  const loud = placesOf(isTooLoud)
  if (readings.length + silent.length + loud.length === 0)
    throw new BoardwrightError('bad-argument', 'No recording gave a curve, so there is nothing to diagnose from.', {
      remedy: 'Measure the board at one setting at least.',
    })
  const one = makeCase({
    readings,
    latentCount: hypotheses[0].twin.latents.count,
    rig: { contactDb: product.testPlan.rigUncertaintyDb, ...options.rig },
    reference: readings.some((r) => r.against) ? referenceBoard(hypotheses[0], readings) : null,
  })
  const contenders = runTournament({ one, hypotheses })
  const extra = extraEvidence(options, hypotheses[0], { silent, loud })
  const posterior = posteriorOf({
    one,
    contenders,
    none,
    extra,
    costly: (prepared) => soundEvidence(options, prepared),
    extraOfNone: directEvidenceOfNone(options) + evidenceOfNone({ silent, loud }),
  })
  const groups = groupHypotheses(one, posterior.weighed)
  const suspects = makeSuspects({ product, one, groups, soundParts: options.soundParts })
  // A board that was not heard at one place leaks too little to be read at another.
  const lowestDb =
    silent.length > 0 ? (tap: Parameters<CheckPlace>[0]) => silenceLimitDb(hypotheses[0], tap) : undefined
  const healthy = groups.find((g) => g.members.some((m) => m.prepared.hypothesis.kind === 'healthy'))
  return {
    suspects,
    noneProbability: posterior.none,
    healthyProbability: healthy?.probability ?? 0,
    rigFault: (suspects[0]?.rig ?? false) && (suspects[0]?.probability ?? 0) > posterior.none,
    words: summaryWords(suspects, posterior.none),
    nextChecks: suggestChecks({ ...options, probes, one, posterior, lowestDb }),
    hypothesisCount: hypotheses.length,
    misfit: { chiSquare: posterior.chiSquare, numbers: posterior.numbers },
  }
}

const collectReadings = (options: DiagnoseOptions, healthy: PreparedHypothesis): Reading[] => {
  const { product, measurements, probes = [], reference } = options
  const zero = { latents: new Float64Array(healthy.twin.latents.count), free: 0 }
  const read = (measurement: SettingMeasurement, node: string | null): Reading[] => {
    const { setting, curve } = measurement
    if (!curve || !hasCurve(measurement)) return []
    // The reference was measured at the output; a probed node is compared with the twin itself.
    const beside = node === null ? reference?.settings.find((s) => s.setting === setting)?.curve : undefined
    const positions = positionsOf(product, setting)
    return [
      makeReading({
        setting,
        positions,
        node,
        curve,
        reference: beside,
        healthy: (tap) => predict(healthy, zero, tap),
      }),
    ]
  }
  return [
    ...measurements.flatMap((m) => read(m, null)),
    ...probes.flatMap(({ node, measurement }) => read(measurement, node)),
  ]
}

/** What noise and distortion say. */
const soundEvidence = ({ product, measurements }: DiagnoseOptions, prepared: PreparedHypothesis): number =>
  measurements
    .filter(({ usable }) => usable)
    .reduce((sum, m) => sum + noiseEvidence(product, prepared, m) + distortionEvidence(product, prepared, m), 0)

/** How often a fault of no known kind silences a board, or makes it too loud for the rig. Estimates, no source. */
const silentNone = 0.3
const loudNone = 0.05

const evidenceOfNone = ({ silent, loud }: { silent: readonly Place[]; loud: readonly Place[] }): number =>
  (silent.length > 0 ? Math.log(silentNone) : 0) + (loud.length > 0 ? Math.log(loudNone) : 0)

/** Beyond the curves: multimeter, silence, and parts measured by themselves. */
const extraEvidence = (
  options: DiagnoseOptions,
  healthy: PreparedHypothesis,
  { silent, loud }: { silent: readonly Place[]; loud: readonly Place[] },
) => {
  const { product, measurements, soundParts = [], faultyParts = [] } = options
  const positions = positionsOf(product, measurements[0]?.setting ?? product.testPlan.settings[0])
  return (_fit: Fit, prepared: PreparedHypothesis): number => {
    const { designators } = prepared.hypothesis
    let sum = directEvidence(prepared, positions, options)
    for (const where of silent) sum += silenceEvidence({ product, prepared, healthy, ...where })
    for (const where of loud) sum += loudnessEvidence({ product, prepared, ...where })
    if (designators.some((d) => soundParts.includes(d))) sum += Math.log(wronglyCleared)
    if (faultyParts.length > 0 && !designators.some((d) => faultyParts.includes(d))) sum += Math.log(wronglyCleared)
    return sum
  }
}

/** How often a part measured by itself is judged wrongly. */
const wronglyCleared = 0.01
