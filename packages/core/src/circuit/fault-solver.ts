import type { CompiledCircuit } from './compile.ts'
import type { ExtraBranch } from './fault-change.ts'

/** Voltages of all unknown nodes, and for each tap what a unit current into each row does to it: 2n numbers a frequency. */
export type FaultSolution = { voltages: Float64Array; adjoints: Float64Array[]; size: number }

/** Where in a record of factors the numbers of a pivot stand. */
type Step = { row: number; column: number; inverse: number; below: Int32Array; right: Int32Array }

const plans = new WeakMap<CompiledCircuit, Step[]>()

/** Pairs (row or column, place in the record) are flattened, so that the inner loops run over plain numbers. */
const planOf = (circuit: CompiledCircuit): Step[] => {
  const kept = plans.get(circuit)
  if (kept) return kept
  const { order, elimination } = circuit
  let at = 0
  const next = () => {
    at += 2
    return at - 2
  }
  const plan = order.map(({ row, column }, k) => ({
    row,
    column,
    inverse: next(),
    below: Int32Array.from(elimination.multipliers[k].flatMap((m) => [m.row, next()])),
    right: Int32Array.from(elimination.upper[k].flatMap((u) => [u.column, next()])),
  }))
  plans.set(circuit, plan)
  return plan
}

/** Solves Y x = b in place of `x`, which comes in as the right-hand side by row and leaves by column. */
const solve = (plan: Step[], f: Float64Array, base: number, x: Float64Array, work: Float64Array) => {
  for (const { row, below } of plan) {
    const re = x[2 * row]
    const im = x[2 * row + 1]
    if (re === 0 && im === 0) continue
    for (let j = 0; j < below.length; j += 2) {
      const t = 2 * below[j]
      const fr = f[base + below[j + 1]]
      const fi = f[base + below[j + 1] + 1]
      x[t] -= fr * re - fi * im
      x[t + 1] -= fr * im + fi * re
    }
  }
  for (let k = plan.length - 1; k >= 0; k--) {
    const { row, column, inverse, right } = plan[k]
    let re = x[2 * row]
    let im = x[2 * row + 1]
    for (let j = 0; j < right.length; j += 2) {
      const c = 2 * right[j]
      const ur = f[base + right[j + 1]]
      const ui = f[base + right[j + 1] + 1]
      re -= ur * work[c] - ui * work[c + 1]
      im -= ur * work[c + 1] + ui * work[c]
    }
    const pr = f[base + inverse]
    const pi = f[base + inverse + 1]
    work[2 * column] = re * pr - im * pi
    work[2 * column + 1] = re * pi + im * pr
  }
  x.set(work)
}

/** Solves Yᵀ x = e in place of `x`: comes in by column, leaves by row. */
const solveTransposed = (plan: Step[], f: Float64Array, base: number, x: Float64Array, work: Float64Array) => {
  for (let k = 0; k < plan.length; k++) {
    const { column, inverse, right } = plan[k]
    const pr = f[base + inverse]
    const pi = f[base + inverse + 1]
    const re = x[2 * column] * pr - x[2 * column + 1] * pi
    const im = x[2 * column] * pi + x[2 * column + 1] * pr
    work[2 * k] = re
    work[2 * k + 1] = im
    if (re === 0 && im === 0) continue
    for (let j = 0; j < right.length; j += 2) {
      const c = 2 * right[j]
      const ur = f[base + right[j + 1]]
      const ui = f[base + right[j + 1] + 1]
      x[c] -= ur * re - ui * im
      x[c + 1] -= ur * im + ui * re
    }
  }
  for (let k = plan.length - 1; k >= 0; k--) {
    const { row, below } = plan[k]
    let re = work[2 * k]
    let im = work[2 * k + 1]
    for (let j = 0; j < below.length; j += 2) {
      const r = 2 * below[j]
      const fr = f[base + below[j + 1]]
      const fi = f[base + below[j + 1] + 1]
      re -= fr * x[r] - fi * x[r + 1]
      im -= fr * x[r + 1] + fi * x[r]
    }
    x[2 * row] = re
    x[2 * row + 1] = im
  }
}

/** An extra branch in the equations: what it adds to rows and columns, and the voltage its held end stands at. */
type Placed = { fromRow: number; toRow: number; fromColumn: number; toColumn: number; heldV: number; siemens: number }

const place = (circuit: CompiledCircuit, { from, to, ohm }: ExtraBranch): Placed => {
  const { indexOf, held, list } = circuit.equations
  const ideal = new Set(list.amplifiers.filter((a) => a.gOut < 0).map((a) => a.output))
  const column = (node: string) => indexOf.get(node) ?? -1
  // Where an ideal op-amp holds a node, its row is the op-amp's law and takes no current.
  const row = (node: string) => (ideal.has(node) ? -1 : column(node))
  return {
    fromRow: row(from),
    toRow: row(to),
    fromColumn: column(from),
    toColumn: column(to),
    heldV: (held.get(from) ?? 0) - (held.get(to) ?? 0),
    siemens: 1 / ohm,
  }
}

const put = (x: Float64Array, plus: number, minus: number) => {
  x.fill(0)
  if (plus >= 0) x[2 * plus] = 1
  if (minus >= 0) x[2 * minus] = -1
}

/**
 * Solves a compiled circuit with resistances put between nodes, by low-rank updates of one elimination.
 *
 * @param options `primitives` the table; `omega` rad/s; `branches` put in; `taps` indices of unknown nodes whose adjoint
 *   solution is wanted
 * Source: J. Sherman and W. J. Morrison, Annals of Mathematical Statistics 21 (1950), one branch after the other.
 */
export const solveWithBranches = (options: {
  circuit: CompiledCircuit
  primitives: Float64Array
  omega: Float64Array
  branches: readonly ExtraBranch[]
  taps: readonly number[]
}): FaultSolution => {
  const { circuit, primitives, omega, taps } = options
  const size = circuit.order.length
  const placed = options.branches.map((b) => place(circuit, b))
  const plan = planOf(circuit)
  const { run, stride } = circuit.program('factors')
  const factors = new Float64Array(stride * omega.length)
  run(primitives, omega, factors, 0)
  const plain = circuit.program('voltages')
  const voltages = new Float64Array(2 * size * omega.length)
  plain.run(primitives, omega, voltages, 0)
  const adjoints = taps.map(() => new Float64Array(2 * size * omega.length))
  const work = new Float64Array(2 * size)
  const columns = placed.map(() => new Float64Array(2 * size))
  const rows = placed.map(() => new Float64Array(2 * size))
  for (let i = 0; i < omega.length; i++) {
    const base = i * stride
    const v = voltages.subarray(2 * size * i, 2 * size * (i + 1))
    const a = adjoints.map((x) => x.subarray(2 * size * i, 2 * size * (i + 1)))
    taps.forEach((tap, k) => {
      put(a[k], tap, -1)
      solveTransposed(plan, factors, base, a[k], work)
    })
    placed.forEach((branch, j) => {
      put(columns[j], branch.fromRow, branch.toRow)
      solve(plan, factors, base, columns[j], work)
      put(rows[j], branch.fromColumn, branch.toColumn)
      solveTransposed(plan, factors, base, rows[j], work)
    })
    update(placed, columns, rows, v, a)
  }
  return { voltages, adjoints, size }
}

/** x −= s y, complex. */
const subtractTimes = (x: Float64Array, sr: number, si: number, y: Float64Array) => {
  for (let k = 0; k < x.length; k += 2) {
    x[k] -= sr * y[k] - si * y[k + 1]
    x[k + 1] -= sr * y[k + 1] + si * y[k]
  }
}

const update = (
  placed: Placed[],
  columns: Float64Array[],
  rows: Float64Array[],
  v: Float64Array,
  a: Float64Array[],
) => {
  placed.forEach((branch, j) => {
    const { fromRow, toRow, fromColumn, toColumn, siemens, heldV } = branch
    const w = columns[j]
    const t = rows[j]
    const pick = (x: Float64Array, plus: number, minus: number, part: number) =>
      (plus < 0 ? 0 : x[2 * plus + part]) - (minus < 0 ? 0 : x[2 * minus + part])
    // s = y / (1 + y uᵀ w)
    const dr = 1 + siemens * pick(w, fromColumn, toColumn, 0)
    const di = siemens * pick(w, fromColumn, toColumn, 1)
    const d = dr * dr + di * di
    const sr = (siemens * dr) / d
    const si = (-siemens * di) / d
    const change = (x: Float64Array, y: Float64Array, nr: number, ni: number) =>
      subtractTimes(x, sr * nr - si * ni, sr * ni + si * nr, y)
    change(v, w, pick(v, fromColumn, toColumn, 0) + heldV, pick(v, fromColumn, toColumn, 1))
    for (const adjoint of a) change(adjoint, t, pick(adjoint, fromRow, toRow, 0), pick(adjoint, fromRow, toRow, 1))
    // The branches still to come see this one too.
    for (let k = j + 1; k < placed.length; k++) {
      change(columns[k], w, pick(columns[k], fromColumn, toColumn, 0), pick(columns[k], fromColumn, toColumn, 1))
      change(rows[k], t, pick(rows[k], fromRow, toRow, 0), pick(rows[k], fromRow, toRow, 1))
    }
  })
}
