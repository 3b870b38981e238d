import { choleskySolve } from './cholesky.ts'
import { dictionaryEntry } from './dictionary-entry.ts'
import type { EvidenceCase } from './evidence-case.ts'
import { type Linearisation, linearise, predictAll, residualOf } from './linearise.ts'
import { delayBetween } from './phase.ts'
import type { PreparedHypothesis } from './prepare-hypothesis.ts'

/** A hypothesis fitted to a board: the most probable values of all unknowns, and how well they explain the readings. */
export type Fit = {
  prepared: PreparedHypothesis
  z: Float64Array
  residual: Float64Array
  /** Half the squared residuals plus half the squared unknowns. */
  cost: number
  linear: Linearisation
  /** ln of the probability of the readings under the hypothesis, but for a constant that all share. */
  logEvidence: number
}

const halfSquares = (values: Float64Array): number => {
  let sum = 0
  for (let i = 0; i < values.length; i++) sum += values[i] * values[i]
  return sum / 2
}

const evidenceOf = (cost: number, { logDeterminant }: Linearisation) => -cost - 0.5 * logDeterminant

/** Starts a fit at given unknowns; without them at the board as designed but for the fault, its delay roughly known. */
export const startFit = (
  one: EvidenceCase,
  prepared: PreparedHypothesis,
  start: Float64Array | { free: number } = { free: 0 },
): Fit => {
  const z = start instanceof Float64Array ? start.slice() : roughDelays(one, prepared, start.free)
  const { linear, predictions } = linearise(one, prepared, z)
  const residual = residualOf(one, z, predictions)
  const cost = halfSquares(residual) + halfSquares(z)
  return { prepared, z, residual, cost, linear, logEvidence: evidenceOf(cost, linear) }
}

/** The delay of each reading as its phase tells it against the prediction. */
const roughDelays = (one: EvidenceCase, prepared: PreparedHypothesis, free: number): Float64Array => {
  const z = new Float64Array(one.layout.size)
  z[one.layout.free] = free
  one.readings.forEach(({ phase, phaseSigma, tap }, r) => {
    z[one.layout.delay + r] =
      delayBetween(tap.omega, phase, phaseSigma, dictionaryEntry(prepared, tap, free)) / one.rig.delayS
  })
  return z
}

/** The same fit with slopes taken anew where it stands. */
export const refresh = (one: EvidenceCase, fit: Fit): Fit => startFit(one, fit.prepared, fit.z)

/** Longest step of one unknown, in its standard deviations: beyond it the slopes say nothing. */
const longestStep = 2.5
const settledStep = 0.02

/**
 * Takes steps of the Gauss-Newton method with the slopes kept; a step that makes the fit worse is shortened.
 *
 * Source: maximum a posteriori by Gauss-Newton with a unit normal prior; evidence by Laplace's approximation, D. J. C. MacKay,
 * Neural Computation 4 (1992).
 */
export const improve = (one: EvidenceCase, fit: Fit, steps: number): Fit => {
  let now = fit
  for (let s = 0; s < steps; s++) {
    const { step, descent } = stepOf(now)
    let most = 0
    for (const x of step) most = Math.max(most, Math.abs(x))
    if (most < settledStep) break
    const next = along(one, now, { step, descent, share: Math.min(1, longestStep / most) })
    if (!next) break
    now = next
  }
  return now
}

/** A place this near to the foot of the parabola is good enough. */
const nearFoot = 0.75

/**
 * The best place found along a step. Where the cost falls less than the slopes promise, the step has gone too far: the foot of
 * the parabola through both costs is nearer. Without that a fit goes to and fro across its minimum.
 */
const along = (
  one: EvidenceCase,
  fit: Fit,
  { step, descent, share: first }: { step: Float64Array; descent: number; share: number },
): Fit | undefined => {
  let best: Fit | undefined
  let share = first
  for (let tries = 0; tries < 3; tries++) {
    const moved = moveBy(one, fit, step, share)
    if (moved.cost < (best ?? fit).cost) best = moved
    else if (best) break
    // cost(t) = cost(0) − descent·t + bend·t², bend from the cost that was met.
    const bend = (moved.cost - fit.cost + descent * share) / share ** 2
    const foot = bend > 0 ? descent / (2 * bend) : share
    if (best && foot > nearFoot * share) break
    share = Math.max(0.1 * share, Math.min(foot, 0.6 * share))
  }
  return best
}

/** The step to the minimum of the linear problem, over the active unknowns; `descent`: how fast the cost falls at its start. */
const stepOf = ({ linear, residual, z }: Fit): { step: Float64Array; descent: number } => {
  const { active, columns, from, to, factor } = linear
  const right = new Float64Array(active.length)
  for (let i = 0; i < active.length; i++) {
    const column = columns[i]
    let sum = -z[active[i]]
    for (let k = from[i]; k < to[i]; k++) sum += column[k] * residual[k]
    right[i] = sum
  }
  const step = right.slice()
  choleskySolve(factor, active.length, step)
  return { step, descent: step.reduce((sum, x, i) => sum + x * right[i], 0) }
}

const moveBy = (one: EvidenceCase, fit: Fit, step: Float64Array, share: number): Fit => {
  const z = fit.z.slice()
  step.forEach((x, i) => {
    z[fit.linear.active[i]] += share * x
  })
  const residual = residualOf(one, z, predictAll(one, fit.prepared, z))
  const cost = halfSquares(residual) + halfSquares(z)
  return { ...fit, z, residual, cost, logEvidence: evidenceOf(cost, fit.linear) }
}

/** A fit to nothing: for a board of which no curve could be measured. */
export const emptyFit = (one: EvidenceCase, prepared: PreparedHypothesis): Fit => ({
  prepared,
  z: new Float64Array(one.layout.size),
  residual: new Float64Array(0),
  cost: 0,
  linear: {
    active: new Int32Array(0),
    columns: [],
    from: new Int32Array(0),
    to: new Int32Array(0),
    factor: new Float64Array(0),
    logDeterminant: 0,
  },
  logEvidence: 0,
})

/** A fit that falls by less than this share is as good as it gets. */
const worthwhile = 0.1

/** Improves a fit with fresh slopes until it falls no more, at most so many times. */
export const settle = (one: EvidenceCase, fit: Fit, times: number): Fit => {
  let now = fit
  for (let t = 0; t < times; t++) {
    const next = improve(one, refresh(one, now), 3)
    const fallen = now.cost - next.cost
    now = next
    if (fallen < worthwhile * now.cost) break
  }
  return now
}
