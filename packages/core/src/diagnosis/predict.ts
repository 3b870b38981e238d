import { slopesByPrimitive } from '../circuit/fault-slopes.ts'
import { solveWithBranches } from '../circuit/fault-solver.ts'
import { type Primitive, primitiveSlopes } from '../circuit/primitive.ts'
import type { ControlPositions } from '../model/circuit.ts'
import { changed, overridesAt, type PreparedHypothesis } from './prepare-hypothesis.ts'

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

type Filled = {
  values: Float64Array
  factor: Float64Array
  slopeToBase: Float64Array
  slopeToFree: number
  freeIndex: number
}

const fill = (prepared: PreparedHypothesis, { latents, free }: BoardState): Filled => {
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

const tableOf = (prepared: PreparedHypothesis, tap: Tap, { values, factor }: Filled) => {
  const { circuit, netlist } = prepared.twin
  for (const { index, value } of overridesAt(prepared, tap.positions)) values[index] = value * factor[index]
  const shares = turnedShares(prepared, circuit.shares(tap.positions))
  return { shares, primitives: circuit.primitives(values, shares), netlist }
}

/** A potentiometer wired backwards: its two tracks change places. */
const turnedShares = ({ twin, turned }: PreparedHypothesis, shares: Float64Array): Float64Array => {
  if (turned === undefined) return shares
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
export const predict = (prepared: PreparedHypothesis, state: BoardState, tap: Tap): Prediction => {
  const { circuit } = prepared.twin
  const { primitives } = tableOf(prepared, tap, fill(prepared, state))
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
export const predictWithSlopes = (prepared: PreparedHypothesis, state: BoardState, tap: Tap): SlopedPrediction => {
  const filled = fill(prepared, state)
  const table = tableOf(prepared, tap, filled)
  const wanted = wantedSlots(prepared)
  const solved = solveForSlopes(prepared, table.primitives, tap)
  const { primitives } = table
  const bySlot = slopesByPrimitive({ circuit: prepared.twin.circuit, primitives, omega: tap.omega, wanted, ...solved })
  const { re, im } = solved.prediction
  for (const slope of bySlot) divide(slope, re, im)
  return { re, im, ...gather(prepared, filled, table.shares, bySlot, tap) }
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

/** slope / H, in place. */
const divide = (slope: Float64Array, re: Float64Array, im: Float64Array) => {
  for (let k = 0; k < slope.length; k += 2) {
    const [hr, hi] = [re[k >> 1], im[k >> 1]]
    const power = hr * hr + hi * hi
    const [a, b] = [slope[k], slope[k + 1]]
    slope[k] = (a * hr + b * hi) / power
    slope[k + 1] = (b * hr - a * hi) / power
  }
}

const wantedByTwin = new WeakMap<object, Map<number, Uint8Array>>()

/** Slots of primitives that tolerances, the free amount or a control move. */
const wantedSlots = ({ twin, changes }: PreparedHypothesis): Uint8Array => {
  const free = changes[0]?.index ?? -1
  const kept = wantedByTwin.get(twin) ?? new Map<number, Uint8Array>()
  wantedByTwin.set(twin, kept)
  const found = kept.get(free)
  if (found) return found
  const moved = new Set(twin.latents.spreads.map((s) => s.parameter))
  moved.add(free)
  const wanted = Uint8Array.from(twin.circuit.equations.list.primitives, (p) => (moved.has(p.parameter) ? 1 : 0))
  kept.set(free, wanted)
  return wanted
}

const gather = (
  prepared: PreparedHypothesis,
  filled: Filled,
  shares: Float64Array,
  bySlot: Float64Array[],
  tap: Tap,
): Omit<SlopedPrediction, 're' | 'im'> => {
  const { twin } = prepared
  const { primitives } = twin.circuit.equations.list
  const byParameter = new Map<number, Float64Array>()
  primitives.forEach((primitive, q) => {
    if (bySlot[q].length === 0) return
    for (const { parameter, slope } of primitiveSlopes(primitive, filled.values, shares[q]))
      if (parameter === primitive.parameter) addScaled(byParameter, parameter, bySlot[q], slope)
  })
  const latents = Array.from({ length: twin.latents.count }, () => new Float64Array(0))
  for (const { parameter, parts } of twin.latents.spreads) {
    const column = byParameter.get(parameter)
    if (!column) continue
    for (const { latent, weight } of parts) {
      if (latents[latent].length === 0) latents[latent] = new Float64Array(column.length)
      accumulate(latents[latent], column, weight * filled.slopeToBase[parameter])
    }
  }
  const own = prepared.hypothesis.free ? byParameter.get(filled.freeIndex) : undefined
  const free = own ? own.map((x) => x * filled.slopeToFree) : null
  return { latents, free, controls: controlSlopes(prepared, filled, shares, bySlot, tap) }
}

const addScaled = (map: Map<number, Float64Array>, key: number, slope: Float64Array, factor: number) => {
  const sum = map.get(key) ?? new Float64Array(slope.length)
  map.set(key, sum)
  accumulate(sum, slope, factor)
}

const accumulate = (sum: Float64Array, slope: Float64Array, factor: number) => {
  for (let k = 0; k < sum.length; k++) sum[k] += factor * slope[k]
}

/** Step of a control's position for its slope. */
const positionStep = 1e-3

const controlSlopes = (
  { twin, turned }: PreparedHypothesis,
  { values }: Filled,
  shares: Float64Array,
  bySlot: Float64Array[],
  { positions }: Tap,
): Map<string, Float64Array> => {
  const slopes = new Map<string, Float64Array>()
  const { netlist, circuit } = twin
  for (const [control, position] of Object.entries(positions)) {
    // A knob at its stop stands there exactly.
    if (position <= 0.01 || position >= 0.99) continue
    const after = circuit.shares({ ...positions, [control]: position + positionStep })
    const before = circuit.shares({ ...positions, [control]: position - positionStep })
    let sum: Float64Array | undefined
    circuit.equations.list.primitives.forEach((p: Primitive, q) => {
      if (p.rule !== 'track' || after[q] === before[q] || bySlot[q].length === 0) return
      const track = values[p.end] + shares[q] * values[p.parameter]
      const turn = netlist.elements[p.element].designator === turned ? -1 : 1
      const share = (turn * (after[q] - before[q])) / (2 * positionStep)
      sum ??= new Float64Array(bySlot[q].length)
      accumulate(sum, bySlot[q], (-share * values[p.parameter]) / track ** 2)
    })
    if (sum) slopes.set(control, sum)
  }
  return slopes
}
