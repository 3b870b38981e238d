import type { ControlPositions } from '../model/circuit.ts'
import { type CompiledCircuit, compileCircuit } from './compile.ts'
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

/** Where a change acts and what it sees, as places among the unknown nodes; −1 where the node is held or takes any current. */
type Place = { from: number; to: number; plus: number; minus: number; heldV: number; delta: ComplexCurve }

const placeOf = ({ circuit }: Solved, change: CircuitChange): Place => {
  const { indexOf, held, list } = circuit.equations
  const index = (node: string) => indexOf.get(node) ?? -1
  const ideal = (node: string) => list.amplifiers.some((a) => a.gOut < 0 && a.output === node)
  const current = (node: string) => (ideal(node) ? -1 : index(node))
  const plus = change.plus ?? change.from
  const minus = change.minus ?? change.to
  return {
    from: current(change.from),
    to: current(change.to),
    plus: index(plus),
    minus: index(minus),
    heldV: (held.get(plus) ?? 0) - (held.get(minus) ?? 0),
    delta: change.delta,
  }
}

const update = (solved: Solved, base: ComplexCurve, changes: readonly CircuitChange[]): ComplexCurve => {
  const places = changes.map((c) => placeOf(solved, c))
  const k = places.length
  const result: ComplexCurve = { re: base.re.slice(), im: base.im.slice() }
  // (I + D W) y = D s, with W the voltages that unit currents of the changes cause at each other, s those there already.
  const matrix = new Float64Array(2 * k * k)
  const right = new Float64Array(2 * k)
  for (let i = 0; i < solved.count; i++) {
    for (let r = 0; r < k; r++) {
      const { delta } = places[r]
      const [dr, di] = [delta.re[i], delta.im[i]]
      for (let c = 0; c < k; c++) {
        const [wr, wi] = transfer(solved, places[r], places[c], i)
        matrix[2 * (r * k + c)] = dr * wr - di * wi + (r === c ? 1 : 0)
        matrix[2 * (r * k + c) + 1] = dr * wi + di * wr
      }
      const [vr, vi] = across(solved, places[r], i)
      right[2 * r] = dr * vr - di * vi
      right[2 * r + 1] = dr * vi + di * vr
    }
    solveComplex(matrix, right, k)
    for (let c = 0; c < k; c++) {
      const [ar, ai] = toOutput(solved, places[c], i)
      result.re[i] -= ar * right[2 * c] - ai * right[2 * c + 1]
      result.im[i] -= ar * right[2 * c + 1] + ai * right[2 * c]
    }
  }
  return result
}

/** Voltage that the circuit has where a change looks, before it is made. */
const across = ({ records, stride }: Solved, { plus, minus, heldV }: Place, i: number): [number, number] => {
  let re = heldV
  let im = 0
  if (plus >= 0) {
    re += records[i * stride + 2 * plus]
    im += records[i * stride + 2 * plus + 1]
  }
  if (minus >= 0) {
    re -= records[i * stride + 2 * minus]
    im -= records[i * stride + 2 * minus + 1]
  }
  return [re, im]
}

/** Voltage where change `at` looks, for a unit current along change `by`. */
const transfer = ({ columns, circuit }: Solved, at: Place, by: Place, i: number): [number, number] => {
  const offset = 2 * circuit.order.length * i
  let re = 0
  let im = 0
  const count = (column: number, node: number, sign: number) => {
    if (column < 0 || node < 0) return
    re += sign * columns[column][offset + 2 * node]
    im += sign * columns[column][offset + 2 * node + 1]
  }
  count(by.from, at.plus, 1)
  count(by.from, at.minus, -1)
  count(by.to, at.plus, -1)
  count(by.to, at.minus, 1)
  return [re, im]
}

/** Output voltage for a unit current along a change. */
const toOutput = ({ records, stride }: Solved, { from, to }: Place, i: number): [number, number] => {
  const base = i * stride + stride / 2
  let re = 0
  let im = 0
  if (from >= 0) {
    re += records[base + 2 * from]
    im += records[base + 2 * from + 1]
  }
  if (to >= 0) {
    re -= records[base + 2 * to]
    im -= records[base + 2 * to + 1]
  }
  return [re, im]
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
