import { slopesByPrimitive } from '../circuit/fault-slopes.ts'
import { solveWithBranches } from '../circuit/fault-solver.ts'
import type { Primitive } from '../circuit/primitive.ts'
import type { ControlPositions } from '../model/circuit.ts'
import { changed, overridesAt, type PreparedHypothesis } from './prepare-hypothesis.ts'
import { type SlopePlan, sharesAt, slopePlan } from './slope-plan.ts'

/** Where a curve is read: at the output (`node` null) or at a node, with the controls at a setting. */
export type Tap = { positions: ControlPositions; node: string | null; omega: Float64Array }

/** What a hypothesis predicts at a tap: V/V, complex. */
export type Prediction = { re: Float64Array; im: Float64Array }

/**
 * A prediction with its slopes: change of ln H, (real, imaginary) per frequency, with each latent number (empty where there is
 * none), with the free amount, and with each control's position.
 */
export type SlopedPrediction = Prediction & {
  latents: Float64Array[]
  free: Float64Array | null
  controls: Map<string, Float64Array>
}

/** The unknowns of one board under a hypothesis: latent numbers, and the free amount in its own deviations. */
export type BoardState = { latents: Float64Array; free: number }

/** The value vector of a board under a hypothesis, with its slopes to what it was made from. */
export type Filled = {
  values: Float64Array
  factor: Float64Array
  slopeToBase: Float64Array
  slopeToFree: number
  freeIndex: number
}

/** Works out the value vector of a board under a hypothesis: the same at every setting. */
export const fill = (prepared: PreparedHypothesis, { latents, free }: BoardState): Filled => {
  const { twin, changes, hypothesis } = prepared
  const values = twin.netlist.nominal.slice()
  const slopeToBase = new Float64Array(values.length).fill(1)
  const factor = new Float64Array(values.length).fill(1)
  for (const { parameter, mean, parts } of twin.latents.spreads) {
    let sum = mean
    for (const { latent, weight } of parts) sum += weight * latents[latent]
    factor[parameter] = Math.exp(sum)
    values[parameter] *= factor[parameter]
  }
  let slopeToFree = 0
  changes.forEach(({ index, rule, amount }, k) => {
    const before = values[index]
    const deviation = k === 0 && hypothesis.free ? hypothesis.free.deviation : 0
    const size = amount * Math.exp(free * deviation) * (rule === 'set' ? factor[index] : 1)
    const after = changed(before, rule, size)
    values[index] = after
    // ln(after) against ln(before): 1 for a value replaced, which has its own tolerance.
    if (rule === 'add') slopeToBase[index] = before / after
    else if (rule === 'parallel') slopeToBase[index] = after / before
    if (k === 0) slopeToFree = deviation * (rule === 'set' ? 1 : rule === 'add' ? size / after : after / size)
  })
  return { values, factor, slopeToBase, slopeToFree, freeIndex: changes[0]?.index ?? -1 }
}

const tableOf = (prepared: PreparedHypothesis, tap: Tap, filled: Filled) => {
  const { twin, turned } = prepared
  const overrides = overridesAt(prepared, tap.positions)
  const values = overrides.length === 0 ? filled.values : filled.values.slice()
  for (const { index, value } of overrides) values[index] = value * filled.factor[index]
  const { shares } = sharesAt(twin, tap.positions)
  const used = turned === undefined ? shares : turnedShares(prepared, shares)
  return { values, shares: used, primitives: twin.circuit.primitives(values, used) }
}

/** A potentiometer wired backwards: its two tracks change places. */
const turnedShares = ({ twin, turned }: PreparedHypothesis, shares: Float64Array): Float64Array => {
  const { elements } = twin.netlist
  const swapped = shares.slice()
  twin.circuit.equations.list.primitives.forEach((p, q) => {
    if (p.rule === 'track' && elements[p.element].designator === turned) swapped[q] = 1 - shares[q]
  })
  return swapped
}

const tapIndex = ({ twin }: PreparedHypothesis, node: string | null): number => {
  const { outputIndex, indexOf } = twin.circuit.equations
  return node === null ? outputIndex : (indexOf.get(node) ?? -1)
}

/** One complex number out of each record. */
export const pickInto = (records: Float64Array, stride: number, offset: number, n: number): Prediction => {
  const prediction = { re: new Float64Array(n), im: new Float64Array(n) }
  for (let i = 0; i < n; i++) {
    prediction.re[i] = records[i * stride + offset]
    prediction.im[i] = records[i * stride + offset + 1]
  }
  return prediction
}

/** The table of primitives of a board under a hypothesis. */
export const fillTable = (prepared: PreparedHypothesis, state: BoardState, tap: Tap): Float64Array =>
  tableOf(prepared, tap, fill(prepared, state)).primitives

/** Response of a board under a hypothesis. A node that a source holds reads the source's own voltage. */
export const predict = (
  prepared: PreparedHypothesis,
  state: BoardState,
  tap: Tap,
  filled: Filled = fill(prepared, state),
): Prediction => {
  const { circuit } = prepared.twin
  const { primitives } = tableOf(prepared, tap, filled)
  const { omega, node } = tap
  const n = omega.length
  const at = tapIndex(prepared, node)
  if (at < 0)
    return { re: new Float64Array(n).fill(circuit.equations.held.get(node ?? '') ?? 0), im: new Float64Array(n) }
  if (prepared.branches.length > 0) {
    const { voltages, size } = solveWithBranches({ circuit, primitives, omega, branches: prepared.branches, taps: [] })
    return pickInto(voltages, 2 * size, 2 * at, n)
  }
  const { run, stride } = circuit.program(node === null ? 'output' : 'voltages')
  const records = new Float64Array(stride * n)
  run(primitives, omega, records, 0)
  return pickInto(records, stride, node === null ? 0 : 2 * at, n)
}

/** Response with its slopes. */
export const predictWithSlopes = (
  prepared: PreparedHypothesis,
  state: BoardState,
  tap: Tap,
  made: Filled = fill(prepared, state),
): SlopedPrediction => {
  const { primitives, shares, values } = tableOf(prepared, tap, made)
  const filled = { ...made, values }
  const plan = slopePlan(prepared.twin, filled.freeIndex)
  const solved = solveForSlopes(prepared, primitives, tap)
  const { circuit } = prepared.twin
  const bySlot = slopesByPrimitive({ circuit, primitives, omega: tap.omega, wanted: plan.wanted, ...solved })
  const { re, im } = solved.prediction
  return { re, im, ...gather({ prepared, filled, shares, bySlot, plan, tap, inverse: inverseOf(solved.prediction) }) }
}

/** 1/H, (real, imaginary) in turn. */
const inverseOf = ({ re, im }: Prediction): Float64Array => {
  const inverse = new Float64Array(2 * re.length)
  for (let k = 0; k < re.length; k++) {
    const power = re[k] * re[k] + im[k] * im[k]
    inverse[2 * k] = re[k] / power
    inverse[2 * k + 1] = -im[k] / power
  }
  return inverse
}

const solveForSlopes = (prepared: PreparedHypothesis, primitives: Float64Array, { node, omega }: Tap) => {
  const { circuit } = prepared.twin
  const at = Math.max(0, tapIndex(prepared, node))
  const n = omega.length
  if (prepared.branches.length === 0 && node === null) {
    const { run, stride } = circuit.program('adjoint')
    const records = new Float64Array(stride * n)
    run(primitives, omega, records, 0)
    const prediction = pickInto(records, stride, 2 * at, n)
    return { voltages: records, adjoint: records, stride, adjointOffset: stride / 2, prediction }
  }
  const { voltages, adjoints, size } = solveWithBranches({
    circuit,
    primitives,
    omega,
    branches: prepared.branches,
    taps: [at],
  })
  const prediction = pickInto(voltages, 2 * size, 2 * at, n)
  return { voltages, adjoint: adjoints[0], stride: 2 * size, adjointOffset: 0, prediction }
}

/** Multiplies a column by 1/H, in place: the slope of ln H. */
const relative = (column: Float64Array, inverse: Float64Array): Float64Array => {
  for (let k = 0; k < column.length; k += 2) {
    const a = column[k]
    const b = column[k + 1]
    column[k] = a * inverse[k] - b * inverse[k + 1]
    column[k + 1] = a * inverse[k + 1] + b * inverse[k]
  }
  return column
}

type Gathering = {
  prepared: PreparedHypothesis
  filled: Filled
  shares: Float64Array
  bySlot: Float64Array[]
  plan: SlopePlan
  tap: Tap
  inverse: Float64Array
}

const nothing = new Float64Array(0)

const gather = (all: Gathering): Omit<SlopedPrediction, 're' | 'im'> => {
  const { prepared, filled, shares, bySlot, plan, inverse } = all
  const { primitives } = prepared.twin.circuit.equations.list
  const latents = Array.from(plan.felt, (felt) => (felt ? new Float64Array(inverse.length) : nothing))
  const free = prepared.hypothesis.free ? new Float64Array(inverse.length) : null
  for (const { slot, parameter, parts } of plan.slots) {
    const slope = valueSlope(primitives[slot], filled.values, shares[slot])
    const base = slope * filled.slopeToBase[parameter]
    for (const { latent, weight } of parts) accumulate(latents[latent], bySlot[slot], weight * base)
    if (free && parameter === filled.freeIndex) accumulate(free, bySlot[slot], slope * filled.slopeToFree)
  }
  for (const column of latents) if (column.length > 0) relative(column, inverse)
  if (free) relative(free, inverse)
  return { latents, free, controls: controlSlopes(all) }
}

/** Slope of a primitive to ln(value). */
const valueSlope = ({ rule, parameter, end }: Primitive, values: Float64Array, share: number): number => {
  const value = values[parameter]
  if (rule === 'inverse') return -1 / value
  if (rule === 'same') return value
  if (rule === 'time') return -1 / (2 * Math.PI * value)
  const track = Math.max(1e-6, values[end] + share * value)
  return (-share * value) / (track * track)
}

const accumulate = (sum: Float64Array, slope: Float64Array, factor: number) => {
  for (let k = 0; k < sum.length; k++) sum[k] += factor * slope[k]
}

const controlSlopes = ({ prepared, filled, shares, bySlot, tap, inverse }: Gathering): Map<string, Float64Array> => {
  const slopes = new Map<string, Float64Array>()
  const { twin, turned } = prepared
  const { values } = filled
  for (const { control, slope } of sharesAt(twin, tap.positions).controls) {
    const sum = new Float64Array(inverse.length)
    twin.circuit.equations.list.primitives.forEach((p, q) => {
      if (p.rule !== 'track' || slope[q] === 0 || bySlot[q].length === 0) return
      const track = values[p.end] + shares[q] * values[p.parameter]
      const share = twin.netlist.elements[p.element].designator === turned ? -slope[q] : slope[q]
      accumulate(sum, bySlot[q], (-share * values[p.parameter]) / track ** 2)
    })
    slopes.set(control, relative(sum, inverse))
  }
  return slopes
}
