import type { SuspicionKind } from '../model/suspect.ts'
import { choleskySolve } from './cholesky.ts'
import type { EvidenceCase } from './evidence-case.ts'
import type { Fit } from './fit.ts'
import { residualOf } from './linearise.ts'
import type { Weighed } from './posterior.ts'
import { predict } from './predict.ts'
import { fittedAmount } from './suspicion-words.ts'

/** Hypotheses that these readings cannot tell apart. */
export type Group = { members: Weighed[]; probability: number }

/** Two hypotheses are told apart when a typical board of the one favours it by this much on average, ln. */
const toldApart = 2
/** Hypotheses less probable than this are not worth sorting. */
const leastProbability = 5e-4

/**
 * Puts together what cannot be told apart: for two hypotheses, how badly the one explains a typical board of the other, its
 * own tolerances doing their best. That is a matter of the circuit and the settings measured, not of this board's luck.
 */
export const groupHypotheses = (one: EvidenceCase, weighed: readonly Weighed[]): Group[] => {
  const groups: (Group & { lead: Fit })[] = []
  const typical = new Map<Fit, Float64Array>()
  const typicalOf = (fit: Fit) => {
    const found = typical.get(fit)
    if (found) return found
    const made = typicalResidual(one, fit)
    typical.set(fit, made)
    return made
  }
  for (const member of weighed) {
    if (member.probability < leastProbability) continue
    const home = groups.find(
      ({ lead, members }) =>
        lead === member.fit ||
        members.some((other) => sameValue(one, other, member)) ||
        alike(lead, member.fit, typicalOf(lead), typicalOf(member.fit)),
    )
    if (home) {
      home.members.push(member)
      home.probability += member.probability
    } else groups.push({ members: [member], probability: member.probability, lead: member.fit })
  }
  return groups
    .sort((a, b) => b.probability - a.probability)
    .map(({ members, probability }) => ({ members, probability }))
}

/** A value that was fitted this near to another is the same part, ln: tolerance of the part and error of the fit. */
const sameLog = 0.12
const valueKinds: readonly SuspicionKind[] = ['wrong-part', 'wrong-value', 'decade-slip']

/** True for two wrong values of one part that are one and the same: a bag of the kit, and the value fitted freely. */
const sameValue = ({ layout }: EvidenceCase, a: Weighed, b: Weighed): boolean => {
  const [one, other] = [a.prepared.hypothesis, b.prepared.hypothesis]
  if (one.designators[0] !== other.designators[0]) return false
  if (!valueKinds.includes(one.kind) || !valueKinds.includes(other.kind) || !(one.free || other.free)) return false
  const value = ({ prepared, fit }: Weighed) =>
    fittedAmount(prepared, fit.prepared === prepared ? fit.z[layout.free] : 0)
  return Math.abs(Math.log(value(a) / value(b))) < sameLog
}

/** Whitened measured less predicted for the board with nominal parts and the fault at its fitted size. */
const typicalResidual = (one: EvidenceCase, fit: Fit): Float64Array => {
  const z = new Float64Array(one.layout.size)
  z[one.layout.free] = fit.z[one.layout.free]
  const state = { latents: z.subarray(0, one.layout.latents), free: z[one.layout.free] }
  return residualOf(
    one,
    z,
    one.readings.map(({ tap }) => predict(fit.prepared, state, tap)),
  )
}

const alike = (a: Fit, b: Fit, typicalA: Float64Array, typicalB: Float64Array): boolean => {
  const difference = typicalA.map((x, i) => x - typicalB[i])
  return misfit(a, difference) < toldApart && misfit(b, difference) < toldApart
}

/** Half the squared difference that is left when the unknowns of a fit do their best: ½ dᵀ (1 + J Jᵀ)⁻¹ d. */
const misfit = ({ linear }: Fit, difference: Float64Array): number => {
  const { active, columns, from, to, factor } = linear
  let square = 0
  for (let i = 0; i < difference.length; i++) square += difference[i] * difference[i]
  const right = new Float64Array(active.length)
  for (let i = 0; i < active.length; i++) {
    const column = columns[i]
    for (let k = from[i]; k < to[i]; k++) right[i] += column[k] * difference[k]
  }
  const solved = right.slice()
  choleskySolve(factor, active.length, solved)
  for (let i = 0; i < active.length; i++) square -= right[i] * solved[i]
  return square / 2
}
