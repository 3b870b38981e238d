import { choleskyInPlace } from './cholesky.ts'
import { contactNepers, type EvidenceCase, levelNepers } from './evidence-case.ts'
import { phaseDifference } from './phase.ts'
import type { BoardState, Prediction, SlopedPrediction } from './predict.ts'
import { fill, predict, predictWithSlopes } from './predict.ts'
import type { PreparedHypothesis } from './prepare-hypothesis.ts'
import { flooredGain } from './reading.ts'

/** A case made linear around a state of the unknowns: whitened residual and slopes, and the factored normal matrix. */
export type Linearisation = {
  /** Unknowns that the rows feel, as places in the vector, and their columns with the first row and the end. */
  active: Int32Array
  columns: Float64Array[]
  from: Int32Array
  to: Int32Array
  /** Factor of 1 + JᵀJ over the active ones, and ln of its determinant. */
  factor: Float64Array
  logDeterminant: number
}

/** The board that a vector of unknowns stands for. */
export const stateOf = ({ layout }: EvidenceCase, z: Float64Array): BoardState => ({
  latents: z.subarray(0, layout.latents),
  free: z[layout.free],
})

/** Whitened residual of every row: measured less predicted, over its uncertainty. */
export const residualOf = (one: EvidenceCase, z: Float64Array, predictions: readonly Prediction[]): Float64Array => {
  const { readings, layout, rowOf, rows, reference, rig } = one
  const residual = new Float64Array(rows)
  const beside = referencePredictions(one, z)
  readings.forEach(({ gain, phase, floor, gainSigma, phaseSigma, tap }, r) => {
    const { re, im } = predictions[r]
    const n = gain.length
    const level = z[layout.level] * levelNepers(one) + z[layout.contact + r] * contactNepers(one)
    const delayS = z[layout.delay + r] * rig.delayS
    const moved = new Float64Array(n)
    const gains = new Float64Array(n)
    for (let k = 0; k < n; k++) {
      gains[k] = gain[k] - level - flooredGain(re[k] * re[k] + im[k] * im[k], floor[k])
      moved[k] = phase[k] + tap.omega[k] * delayS
    }
    if (beside) addReference(beside[r], reference!.design[r], gains, moved)
    phaseDifference(moved, phaseSigma, predictions[r], moved)
    const row = rowOf[r]
    for (let k = 0; k < n; k++) {
      residual[row + k] = gains[k] / gainSigma[k]
      residual[row + n + k] = moved[k] / phaseSigma[k]
    }
  })
  return residual
}

/** Where readings are against a probe at a node there is no reference, and nothing is added. */
const referencePredictions = ({ reference, layout, readings }: EvidenceCase, z: Float64Array): Prediction[] | null => {
  if (!reference) return null
  const state = { latents: z.subarray(layout.reference, layout.reference + layout.latents), free: 0 }
  const filled = fill(reference.healthy, state)
  return readings.map(({ tap, against }, r) =>
    against ? predict(reference.healthy, state, tap, filled) : reference.design[r],
  )
}

/** The reference board's own parts stand in the denominator: how it differs from the design is added. */
const addReference = (board: Prediction, design: Prediction, gains: Float64Array, phases: Float64Array) => {
  for (let k = 0; k < gains.length; k++) {
    // ln(board/design), complex.
    const re = board.re[k] * design.re[k] + board.im[k] * design.im[k]
    const im = board.im[k] * design.re[k] - board.re[k] * design.im[k]
    gains[k] += 0.5 * Math.log((re * re + im * im) / (design.re[k] ** 2 + design.im[k] ** 2) ** 2)
    phases[k] += Math.atan2(im, re)
  }
}

export const predictAll = (one: EvidenceCase, prepared: PreparedHypothesis, z: Float64Array): Prediction[] => {
  const state = stateOf(one, z)
  const filled = fill(prepared, state)
  return one.readings.map(({ tap }) => predict(prepared, state, tap, filled))
}

/** Collects whitened columns; one that no row feels is left out. */
class Columns {
  readonly active: number[] = []
  readonly columns: Float64Array[] = []
  readonly from: number[] = []
  readonly to: number[] = []
  private readonly rows: number
  constructor(rows: number) {
    this.rows = rows
  }
  add(place: number, from: number, to: number, fill: (column: Float64Array) => void) {
    const column = new Float64Array(this.rows)
    fill(column)
    let power = 0
    for (let i = from; i < to; i++) power += column[i] * column[i]
    // Below a twentieth of a standard deviation nothing is learnt of it, and nothing explained by it.
    if (power < 2.5e-3) return
    this.active.push(place)
    this.columns.push(column)
    this.from.push(from)
    this.to.push(to)
  }
}

/** Slopes of a case under a hypothesis around `z`, with the predictions there. */
export const linearise = (
  one: EvidenceCase,
  prepared: PreparedHypothesis,
  z: Float64Array,
): { linear: Linearisation; predictions: SlopedPrediction[] } => {
  const state = stateOf(one, z)
  const filled = fill(prepared, state)
  const predictions = one.readings.map(({ tap }) => predictWithSlopes(prepared, state, tap, filled))
  const collected = new Columns(one.rows)
  const { layout, rows } = one
  for (let l = 0; l < layout.latents; l++)
    collected.add(l, 0, rows, (c) => whitenAll(one, c, predictions, (r) => predictions[r].latents[l], 1))
  const { reference } = one
  if (reference)
    for (let l = 0; l < layout.latents; l++)
      collected.add(layout.reference + l, 0, rows, (c) =>
        whitenAll(one, c, predictions, (r) => (one.readings[r].against ? reference.design[r].latents[l] : null), -1),
      )
  collected.add(layout.free, 0, rows, (c) => whitenAll(one, c, predictions, (r) => predictions[r].free, 1))
  addRigColumns(one, predictions, collected)
  return { linear: factor(collected), predictions }
}

const whitenAll = (
  one: EvidenceCase,
  column: Float64Array,
  predictions: readonly Prediction[],
  slopeOf: (reading: number) => Float64Array | null,
  sign: number,
) => {
  one.readings.forEach((_, r) => {
    const slope = slopeOf(r)
    if (slope !== null && slope.length > 0) whiten(one, r, column, predictions[r], slope, sign)
  })
}

const whiten = (
  { readings, rowOf }: EvidenceCase,
  r: number,
  column: Float64Array,
  { re, im }: Prediction,
  slope: Float64Array,
  sign: number,
) => {
  const { gainSigma, phaseSigma, floor } = readings[r]
  const n = gainSigma.length
  const row = rowOf[r]
  for (let k = 0; k < n; k++) {
    const power = re[k] * re[k] + im[k] * im[k]
    // Under the floor a change of the response is not seen.
    const seen = power / (power + floor[k] * floor[k])
    column[row + k] = (sign * seen * slope[2 * k]) / gainSigma[k]
    column[row + n + k] = (sign * slope[2 * k + 1]) / phaseSigma[k]
  }
}

const addRigColumns = (one: EvidenceCase, predictions: SlopedPrediction[], collected: Columns) => {
  const { layout, readings, rowOf, rows, rig } = one
  const flat = (column: Float64Array, r: number, size: number) => {
    const { gainSigma } = readings[r]
    for (let k = 0; k < gainSigma.length; k++) column[rowOf[r] + k] = size / gainSigma[k]
  }
  collected.add(layout.level, 0, rows, (c) => {
    for (let r = 0; r < readings.length; r++) flat(c, r, levelNepers(one))
  })
  readings.forEach(({ tap, phaseSigma }, r) => {
    const from = rowOf[r]
    const n = phaseSigma.length
    const to = from + 2 * n
    collected.add(layout.contact + r, from, to, (c) => flat(c, r, contactNepers(one)))
    collected.add(layout.delay + r, from, to, (c) => {
      for (let k = 0; k < n; k++) c[from + n + k] = (-tap.omega[k] * rig.delayS) / phaseSigma[k]
    })
    for (const [control, place] of layout.knobs[r]) {
      const slope = predictions[r].controls.get(control)
      if (slope) collected.add(place, from, to, (c) => whiten(one, r, c, predictions[r], slope, rig.knob))
    }
  })
}

const factor = ({ active, columns, from, to }: Columns): Linearisation => {
  const n = active.length
  const a = new Float64Array(n * n)
  for (let i = 0; i < n; i++) {
    const x = columns[i]
    for (let j = 0; j <= i; j++) {
      const y = columns[j]
      const begin = Math.max(from[i], from[j])
      const end = Math.min(to[i], to[j])
      let sum = i === j ? 1 : 0
      for (let k = begin; k < end; k++) sum += x[k] * y[k]
      a[i * n + j] = sum
      a[j * n + i] = sum
    }
  }
  const logDeterminant = choleskyInPlace(a, n)
  return {
    active: Int32Array.from(active),
    columns,
    from: Int32Array.from(from),
    to: Int32Array.from(to),
    factor: a,
    logDeterminant,
  }
}
