import type { ControlPositions } from '../model/circuit.ts'
import { type CompiledCircuit, compileCircuit } from './compile.ts'
import { type Place, placeOf } from './equations.ts'
import { solveColumns } from './inverse.ts'
import type { Netlist } from './netlist.ts'
import { angular, type ComplexCurve } from './response.ts'

/**
 * A change of a circuit: a current from node `from` to node `to` of Δy·(v(plus) − v(minus)), on top of what flows already. For
 * a branch whose admittance changes, plus and minus are the branch's own nodes and may be left out.
 */
export type CircuitChange = {
  from: string
  to: string
  plus?: string
  minus?: string
  /** Δy over the frequency grid, S. */
  delta: ComplexCurve
}

/** A circuit at one setting, solved once so that many changes of it cost a few operations each. */
export type ChangeSolver = {
  circuit: CompiledCircuit
  primitives: Float64Array
  omega: Float64Array
  base: ComplexCurve
  /** Response with changes made, all at once. */
  withChanges: (changes: readonly CircuitChange[]) => ComplexCurve
}

/**
 * Solves a circuit completely (voltages, adjoint voltages, inverse) so that the response with a few changed admittances
 * follows by an update of low rank, without a new elimination.
 *
 * Source: the matrix inversion lemma, M. A. Woodbury, Princeton Statistical Research Group memo 42 (1950).
 */
export const changeSolver = (options: {
  netlist: Netlist
  values?: Float64Array
  positions: ControlPositions
  frequencyHz: ArrayLike<number>
}): ChangeSolver => {
  const { netlist, positions } = options
  const values = options.values ?? netlist.nominal
  const circuit = compileCircuit(netlist, { values })
  const primitives = circuit.primitives(values, circuit.shares(positions))
  const omega = angular(options.frequencyHz)
  const { run, stride } = circuit.program('adjoint')
  const records = new Float64Array(stride * omega.length)
  run(primitives, omega, records, 0)
  const nodes = circuit.equations.unknowns.length
  const columns = solveColumns(
    circuit,
    primitives,
    omega,
    Array.from({ length: nodes }, (_, i) => i),
  )
  const solved: Solved = { circuit, records, stride, columns, count: omega.length }
  const { outputIndex } = circuit.equations
  const base: ComplexCurve = { re: new Float64Array(omega.length), im: new Float64Array(omega.length) }
  for (let i = 0; i < omega.length; i++) {
    base.re[i] = records[i * stride + 2 * outputIndex]
    base.im[i] = records[i * stride + 2 * outputIndex + 1]
  }
  return { circuit, primitives, omega, base, withChanges: (changes) => update(solved, base, changes) }
}

type Solved = {
  circuit: CompiledCircuit
  records: Float64Array
  stride: number
  /** For a unit current into node k: voltages of all nodes, per frequency. */
  columns: Float64Array[]
  count: number
}

const update = (solved: Solved, base: ComplexCurve, changes: readonly CircuitChange[]): ComplexCurve => {
  const places = changes.map((c) => placeOf(solved.circuit.equations, c))
  const seen = places.map((p) => acrossCurve(solved, p))
  const toOutput = places.map((p) => outputCurve(solved, p))
  if (changes.length === 1)
    return updateOnce(base, changes[0].delta, seen[0], toOutput[0], transferCurve(solved, places[0], places[0]))
  const k = places.length
  const result: ComplexCurve = { re: base.re.slice(), im: base.im.slice() }
  const transfers = places.map((at) => places.map((by) => transferCurve(solved, at, by)))
  // (I + D W) y = D s, with W the voltages that unit currents of the changes cause at each other, s those there already.
  const matrix = new Float64Array(2 * k * k)
  const right = new Float64Array(2 * k)
  for (let i = 0; i < solved.count; i++) {
    for (let r = 0; r < k; r++) {
      const dr = changes[r].delta.re[i]
      const di = changes[r].delta.im[i]
      for (let c = 0; c < k; c++) {
        const w = transfers[r][c]
        matrix[2 * (r * k + c)] = dr * w.re[i] - di * w.im[i] + (r === c ? 1 : 0)
        matrix[2 * (r * k + c) + 1] = dr * w.im[i] + di * w.re[i]
      }
      right[2 * r] = dr * seen[r].re[i] - di * seen[r].im[i]
      right[2 * r + 1] = dr * seen[r].im[i] + di * seen[r].re[i]
    }
    solveComplex(matrix, right, k)
    for (let c = 0; c < k; c++) {
      const a = toOutput[c]
      result.re[i] -= a.re[i] * right[2 * c] - a.im[i] * right[2 * c + 1]
      result.im[i] -= a.re[i] * right[2 * c + 1] + a.im[i] * right[2 * c]
    }
  }
  return result
}

/** A single change in closed form: H − a δ v / (1 + δ w). */
const updateOnce = (base: ComplexCurve, d: ComplexCurve, v: ComplexCurve, a: ComplexCurve, w: ComplexCurve) => {
  const n = base.re.length
  const result: ComplexCurve = { re: new Float64Array(n), im: new Float64Array(n) }
  for (let i = 0; i < n; i++) {
    const br = 1 + d.re[i] * w.re[i] - d.im[i] * w.im[i]
    const bi = d.re[i] * w.im[i] + d.im[i] * w.re[i]
    const scale = 1 / (br * br + bi * bi)
    const xr = d.re[i] * v.re[i] - d.im[i] * v.im[i]
    const xi = d.re[i] * v.im[i] + d.im[i] * v.re[i]
    const qr = (xr * br + xi * bi) * scale
    const qi = (xi * br - xr * bi) * scale
    result.re[i] = base.re[i] - (a.re[i] * qr - a.im[i] * qi)
    result.im[i] = base.im[i] - (a.re[i] * qi + a.im[i] * qr)
  }
  return result
}

const emptyCurve = (n: number): ComplexCurve => ({ re: new Float64Array(n), im: new Float64Array(n) })

/** Adds or takes one complex number out of each record; nothing for a place of −1. */
const accumulate = (
  into: ComplexCurve,
  records: Float64Array,
  stride: number,
  place: number,
  offset: number,
  sign: number,
) => {
  if (place < 0) return
  for (let i = 0, o = offset + 2 * place; i < into.re.length; i++, o += stride) {
    into.re[i] += sign * records[o]
    into.im[i] += sign * records[o + 1]
  }
}

/** Voltage that the circuit has where a change looks, before it is made. */
const acrossCurve = ({ records, stride, count }: Solved, { plus, minus, heldV }: Place): ComplexCurve => {
  const curve = emptyCurve(count)
  curve.re.fill(heldV)
  accumulate(curve, records, stride, plus, 0, 1)
  accumulate(curve, records, stride, minus, 0, -1)
  return curve
}

/** Voltage where change `at` looks, for a unit current along change `by`. */
const transferCurve = ({ columns, circuit, count }: Solved, at: Place, by: Place): ComplexCurve => {
  const curve = emptyCurve(count)
  const stride = 2 * circuit.order.length
  for (const [column, sign] of [
    [by.from, 1],
    [by.to, -1],
  ]) {
    if (column < 0) continue
    accumulate(curve, columns[column], stride, at.plus, 0, sign)
    accumulate(curve, columns[column], stride, at.minus, 0, -sign)
  }
  return curve
}

/** Output voltage for a unit current along a change. */
const outputCurve = ({ records, stride, count }: Solved, { from, to }: Place): ComplexCurve => {
  const curve = emptyCurve(count)
  accumulate(curve, records, stride, from, stride / 2, 1)
  accumulate(curve, records, stride, to, stride / 2, -1)
  return curve
}

/** Solves a small complex system in place by elimination with partial pivoting. */
const solveComplex = (a: Float64Array, b: Float64Array, n: number) => {
  for (let k = 0; k < n; k++) {
    swapLargest(a, b, n, k)
    const [pr, pi] = [a[2 * (k * n + k)], a[2 * (k * n + k) + 1]]
    const d = 1 / (pr * pr + pi * pi)
    for (let r = 0; r < n; r++) {
      if (r === k) continue
      const [xr, xi] = [a[2 * (r * n + k)], a[2 * (r * n + k) + 1]]
      const fr = (xr * pr + xi * pi) * d
      const fi = (xi * pr - xr * pi) * d
      for (let c = k + 1; c < n; c++) subtractProduct(a, 2 * (r * n + c), fr, fi, a, 2 * (k * n + c))
      subtractProduct(b, 2 * r, fr, fi, b, 2 * k)
    }
  }
  for (let k = 0; k < n; k++) {
    const [pr, pi] = [a[2 * (k * n + k)], a[2 * (k * n + k) + 1]]
    const d = 1 / (pr * pr + pi * pi)
    const [xr, xi] = [b[2 * k], b[2 * k + 1]]
    b[2 * k] = (xr * pr + xi * pi) * d
    b[2 * k + 1] = (xi * pr - xr * pi) * d
  }
}

const subtractProduct = (x: Float64Array, at: number, fr: number, fi: number, y: Float64Array, from: number) => {
  const yr = y[from]
  const yi = y[from + 1]
  x[at] -= fr * yr - fi * yi
  x[at + 1] -= fr * yi + fi * yr
}

const swapLargest = (a: Float64Array, b: Float64Array, n: number, k: number) => {
  let p = k
  const size = (r: number) => a[2 * (r * n + k)] ** 2 + a[2 * (r * n + k) + 1] ** 2
  for (let r = k + 1; r < n; r++) if (size(r) > size(p)) p = r
  if (p === k) return
  for (let c = 0; c < 2 * n; c++) {
    const kept = a[2 * k * n + c]
    a[2 * k * n + c] = a[2 * p * n + c]
    a[2 * p * n + c] = kept
  }
  for (let c = 0; c < 2; c++) {
    const kept = b[2 * k + c]
    b[2 * k + c] = b[2 * p + c]
    b[2 * p + c] = kept
  }
}
