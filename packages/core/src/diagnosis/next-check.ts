import { formatQuantity } from '../circuit/quantity.ts'
import { RandomSource } from '../circuit/random.ts'
import type { NextCheck } from '../model/diagnosis.ts'
import { formatDb, formatHz } from '../model/format.ts'
import type { CheckPlan, Outcomes } from './check-outcomes.ts'
import type { Weighed } from './posterior.ts'

/** Which part a hypothesis names: what the maker wants to know. */
export const blameOf = ({ prepared }: Weighed): string => {
  const { kind, designators, nodes } = prepared.hypothesis
  if (kind === 'healthy') return 'healthy'
  if (kind === 'rig-pin') return `pin ${nodes[0]}`
  if (kind === 'bridge') return `bridge ${nodes.join(' ')}`
  return designators.join(' ')
}

/** Entropy of the blame, bits, for weights that need not add up to 1. */
const blameEntropy = (weights: ArrayLike<number>, blame: Int32Array, count: number): number => {
  const sums = new Float64Array(count)
  let total = 0
  for (let i = 0; i < weights.length; i++) {
    sums[blame[i]] += weights[i]
    total += weights[i]
  }
  let bits = 0
  for (const sum of sums) if (sum > 0) bits -= (sum / total) * Math.log2(sum / total)
  return bits
}

/** Outcomes drawn per hypothesis: enough to rank the checks. */
const draws = 4

/**
 * Expected fall of the entropy of the blame by a check, bits: outcomes are drawn under each hypothesis, and the
 * probabilities after each are worked out.
 *
 * Source: D. V. Lindley, "On a measure of the information provided by an experiment", Ann. Math. Stat. 27 (1956).
 */
export const expectedInformation = (
  weighed: readonly Weighed[],
  blame: Int32Array,
  blames: number,
  outcomes: Outcomes,
): number => {
  const random = new RandomSource(1)
  const prior = Float64Array.from(weighed, (w) => w.probability)
  const before = blameEntropy(prior, blame, blames)
  const after = new Float64Array(weighed.length)
  const { means, whiteSigma, commonSigma } = outcomes
  const n = means[0].length
  const drawn = new Float64Array(n)
  let expected = 0
  let total = 0
  for (let i = 0; i < weighed.length; i++) {
    for (let d = 0; d < draws; d++) {
      const common = commonSigma * random.normal()
      for (let k = 0; k < n; k++) drawn[k] = means[i][k] + common + whiteSigma[i] * random.normal()
      let top = Number.NEGATIVE_INFINITY
      for (let j = 0; j < weighed.length; j++) {
        after[j] = Math.log(prior[j]) + logOutcome(drawn, means[j], whiteSigma[j], commonSigma)
        if (after[j] > top) top = after[j]
      }
      for (let j = 0; j < weighed.length; j++) after[j] = Math.exp(after[j] - top)
      expected += (prior[i] / draws) * blameEntropy(after, blame, blames)
    }
    total += prior[i]
  }
  return Math.max(0, before - expected / total)
}

/** ln density of an outcome with white noise and an error that all its numbers share. */
const logOutcome = (x: Float64Array, mean: Float64Array, white: number, common: number): number => {
  let sum = 0
  let squares = 0
  for (let k = 0; k < x.length; k++) {
    const d = (x[k] - mean[k]) / white
    sum += d
    squares += d * d
  }
  const ratio = (common / white) ** 2
  const shared = (sum * sum * ratio) / (1 + x.length * ratio)
  return -0.5 * (squares - shared) - x.length * Math.log(white) - 0.5 * Math.log1p(x.length * ratio)
}

/** How a check is told: with what each of the leading suspects would show. */
export const describeCheck = (
  plan: CheckPlan,
  informationBits: number,
  weighed: readonly Weighed[],
  outcomes: Outcomes,
): NextCheck => {
  const shown = leadingByBlame(weighed)
  const place = farthestApart(outcomes, shown)
  const said = (value: number): string => {
    if (plan.kind === 'voltage') return formatQuantity(Math.abs(value) < 5e-4 ? 0 : value, 'voltage')
    if (plan.kind === 'supply-current') return formatQuantity(value, 'current')
    if (plan.kind === 'part') return value > 0.5 ? 'not as drawn' : 'as drawn'
    return `${formatDb(value)} at ${formatHz(outcomes.frequencyHz?.[place] ?? 0)}`
  }
  return {
    kind: plan.kind,
    setting: plan.setting,
    node: plan.node,
    designator: plan.designator,
    words: plan.words,
    informationBits,
    outcomes: shown.map((i) => ({
      designators: weighed[i].prepared.hypothesis.designators,
      words: `${weighed[i].prepared.hypothesis.designators.join(' and ') || weighed[i].prepared.hypothesis.kind}: ${said(outcomes.means[i][place])}`,
    })),
  }
}

const leadingByBlame = (weighed: readonly Weighed[]): number[] => {
  const seen = new Set<string>()
  const shown: number[] = []
  weighed.forEach((w, i) => {
    if (shown.length >= 4 || seen.has(blameOf(w))) return
    seen.add(blameOf(w))
    shown.push(i)
  })
  return shown
}

const farthestApart = ({ means }: Outcomes, shown: readonly number[]): number => {
  let best = 0
  let most = -1
  for (let k = 0; k < means[0].length; k++) {
    const values = shown.map((i) => means[i][k])
    const apart = Math.max(...values) - Math.min(...values)
    if (apart > most) {
      most = apart
      best = k
    }
  }
  return best
}
