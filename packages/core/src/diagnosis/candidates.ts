import { dictionaryEntry } from './dictionary-entry.ts'
import type { EvidenceCase } from './evidence-case.ts'
import { levelNepers } from './evidence-case.ts'
import type { Prediction, SlopedPrediction } from './predict.ts'
import type { PreparedHypothesis } from './prepare-hypothesis.ts'
import { flooredGain, type Reading } from './reading.ts'

/** Spread that a fault may have beyond that of a healthy board, for a first look, nepers. */
const looseNepers = 0.06
/** The further a fault takes the response from the healthy one, the more the parts it leaves alone decide. */
const looseShare = 0.15
const loosestNepers = 0.35
/** Points further off than so many deviations all count alike. */
const farthest = 20

const gainAt = ({ re, im }: Prediction, k: number, { floor }: Reading): number =>
  flooredGain(re[k] * re[k] + im[k] * im[k], floor[k])

/** Squared loose distance between a reading and a prediction, by gain alone. */
const looseDistance = (reading: Reading, power: Float64Array, design: Float64Array, prediction: Prediction): number => {
  const { gain } = reading
  let sum = 0
  for (let k = 0; k < gain.length; k++) {
    const predicted = gainAt(prediction, k, reading)
    const gross = Math.min(loosestNepers, looseShare * Math.abs(predicted - design[k]))
    const d = gain[k] - predicted
    sum += Math.min(farthest * farthest, (d * d) / (power[k] + gross * gross))
  }
  return sum
}

const spreadPower = (one: EvidenceCase, reading: Reading, healthy: SlopedPrediction): Float64Array =>
  reading.gainSigma.map((sigma, k) => {
    let power = sigma * sigma + looseNepers ** 2 + levelNepers(one) ** 2
    for (const column of healthy.latents) if (column.length > 0) power += 4 * column[2 * k] ** 2
    return power
  })

/** Sizes of a fault that are looked at beside the one it starts from, in its own deviations. */
const sizeStep = 1.2

/** Predictions whose squared whitened difference is below this are the same for this board. */
const aliasSquare = 0.1

/** A hypothesis worth a fit, the size to start from, and those that predict the same as it. */
export type Candidate = { prepared: PreparedHypothesis; free: number; aliases: PreparedHypothesis[] }

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
  const powers = one.readings.map((reading, r) => spreadPower(one, reading, healthy[r]))
  const designs = healthy.map((h, r) => h.re.map((_, k) => gainAt(h, k, one.readings[r])))
  const look = (prepared: PreparedHypothesis, free: number) => {
    const entries = one.readings.map(({ tap }) => dictionaryEntry(prepared, tap, free))
    const distance = entries.reduce((sum, e, r) => sum + looseDistance(one.readings[r], powers[r], designs[r], e), 0)
    return { prepared, free, entries, distance }
  }
  const looked = hypotheses.map((prepared) => {
    const sizes = prepared.hypothesis.free ? [0, -sizeStep, sizeStep] : [0]
    return sizes
      .map((free) => look(prepared, free))
      .reduce((near, other) => (other.distance < near.distance ? other : near))
  })
  looked.sort((a, b) => a.distance - b.distance)
  // The healthy board comes first, so that what no curve shows is told together with it.
  const healthyAt = looked.findIndex((l) => l.prepared.hypothesis.kind === 'healthy')
  looked.unshift(...looked.splice(Math.max(0, healthyAt), 1))
  const candidates: (Candidate & { entries: Prediction[] })[] = []
  for (const { prepared, free, entries } of looked) {
    const same = candidates.find((c) => alike(one, c.entries, entries))
    if (same) same.aliases.push(prepared)
    else if (candidates.length < most) candidates.push({ prepared, free, aliases: [], entries })
  }
  return candidates
}

/** What has a size to be fitted is taken at the size it starts from: the next size covers where the two would part. */
const alike = ({ readings }: EvidenceCase, a: readonly Prediction[], b: readonly Prediction[]): boolean => {
  let sum = 0
  for (let r = 0; r < a.length; r++) {
    const { gainSigma, floor } = readings[r]
    const [x, y] = [a[r], b[r]]
    for (let k = 0; k < gainSigma.length; k++) {
      const power = y.re[k] ** 2 + y.im[k] ** 2 + floor[k] ** 2
      const apart = (x.re[k] - y.re[k]) ** 2 + (x.im[k] - y.im[k]) ** 2
      sum += apart / (power * gainSigma[k] ** 2)
      if (sum > aliasSquare) return false
    }
  }
  return true
}
