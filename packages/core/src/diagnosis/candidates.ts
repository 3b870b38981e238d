import type { EvidenceCase } from './evidence-case.ts'
import { levelNepers } from './evidence-case.ts'
import { type Prediction, predict, type SlopedPrediction, type Tap } from './predict.ts'
import type { PreparedHypothesis } from './prepare-hypothesis.ts'
import type { Reading } from './reading.ts'

const kept = new WeakMap<PreparedHypothesis, Map<string, Prediction>>()

const tapKey = ({ positions, node, omega }: Tap): string =>
  `${JSON.stringify(positions)} ${node ?? ''} ${omega.length} ${omega[0]} ${omega[omega.length - 1]}`

/** What a hypothesis predicts with everything else as designed; kept, since every board asks the same. */
export const dictionaryEntry = (prepared: PreparedHypothesis, tap: Tap): Prediction => {
  const map = kept.get(prepared) ?? new Map<string, Prediction>()
  kept.set(prepared, map)
  const key = tapKey(tap)
  const found = map.get(key)
  if (found) return found
  const made = predict(prepared, { latents: new Float64Array(prepared.twin.latents.count), free: 0 }, tap)
  map.set(key, made)
  return made
}

/** Spread that a fault may have beyond that of a healthy board, for a first look, nepers. */
const looseNepers = 0.06
/** Points further off than so many deviations all count alike. */
const farthest = 20

/** Squared loose distance between a reading and a prediction, by gain alone. */
const looseDistance = (reading: Reading, spread: Float64Array, { re, im }: Prediction): number => {
  const { gain } = reading
  let sum = 0
  for (let k = 0; k < gain.length; k++) {
    const d = (gain[k] - 0.5 * Math.log(re[k] * re[k] + im[k] * im[k] + 1e-300)) / spread[k]
    sum += Math.min(farthest * farthest, d * d)
  }
  return sum
}

const spreadOf = (one: EvidenceCase, reading: Reading, healthy: SlopedPrediction): Float64Array =>
  reading.gainSigma.map((sigma, k) => {
    let power = sigma * sigma + looseNepers ** 2 + levelNepers(one) ** 2
    for (const column of healthy.latents) if (column.length > 0) power += 4 * column[2 * k] ** 2
    return Math.sqrt(power)
  })

/** Two predictions nowhere farther apart (nepers, radians) are the same for every board. */
const aliasNepers = 0.002

/** Hypotheses that are worth a fit; each stands also for those that predict the same as it. */
export type Candidate = { prepared: PreparedHypothesis; aliases: PreparedHypothesis[] }

/**
 * Picks the hypotheses worth a fit: those whose curves lie near the measured ones in a very wide sense, those that predict the
 * same taken together.
 *
 * @param options `healthy`: slopes of the healthy twin at the readings' taps; `most`: how many to keep at most
 */
export const pickCandidates = (options: {
  one: EvidenceCase
  hypotheses: readonly PreparedHypothesis[]
  healthy: readonly SlopedPrediction[]
  most: number
}): Candidate[] => {
  const { one, hypotheses, healthy, most } = options
  const spreads = one.readings.map((reading, r) => spreadOf(one, reading, healthy[r]))
  const looked = hypotheses.map((prepared) => {
    const entries = one.readings.map(({ tap }) => dictionaryEntry(prepared, tap))
    const distance = entries.reduce((sum, entry, r) => sum + looseDistance(one.readings[r], spreads[r], entry), 0)
    return { prepared, entries, distance }
  })
  looked.sort((a, b) => a.distance - b.distance)
  const candidates: (Candidate & { entries: Prediction[] })[] = []
  for (const { prepared, entries } of looked) {
    const same = candidates.find((c) => alike(c, prepared, entries))
    if (same) same.aliases.push(prepared)
    else if (candidates.length < most) candidates.push({ prepared, aliases: [], entries })
  }
  return candidates
}

const alike = (
  candidate: { prepared: PreparedHypothesis; entries: Prediction[] },
  prepared: PreparedHypothesis,
  entries: readonly Prediction[],
): boolean => {
  // What has a size to be fitted is like another only where neither feels its size; that is seen in the fit.
  if (candidate.prepared.hypothesis.free || prepared.hypothesis.free) return false
  return candidate.entries.every((a, r) => samePrediction(a, entries[r]))
}

const samePrediction = (a: Prediction, b: Prediction): boolean => {
  for (let k = 0; k < a.re.length; k++) {
    const power = b.re[k] ** 2 + b.im[k] ** 2
    const apart = (a.re[k] - b.re[k]) ** 2 + (a.im[k] - b.im[k]) ** 2
    if (apart > aliasNepers ** 2 * power) return false
  }
  return true
}
