import type { CompiledCircuit } from './compile.ts'

/**
 * Solves Y x = e(row) for chosen rows at every frequency, from the factors: node voltages for a unit current into a node.
 *
 * @param primitives table of primitives
 * @param omega rad/s
 * @param rows indices of unknown nodes that the current goes into
 * @returns for each row an array of `omega.length` records of the unknown nodes' complex voltages (real, imaginary), V/A
 */
export const solveColumns = (
  circuit: CompiledCircuit,
  primitives: Float64Array,
  omega: Float64Array,
  rows: readonly number[],
): Float64Array[] => {
  const { run, stride } = circuit.program('factors')
  const factors = new Float64Array(stride * omega.length)
  run(primitives, omega, factors, 0)
  const n = circuit.order.length
  const plan = planOf(circuit)
  const right = new Float64Array(2 * n)
  return rows.map((row) => {
    const solution = new Float64Array(2 * n * omega.length)
    for (let i = 0; i < omega.length; i++) {
      right.fill(0)
      right[2 * row] = 1
      forward(plan, factors, i * stride, right)
      backward(plan, factors, i * stride, right, solution, 2 * n * i)
    }
    return solution
  })
}

/** Places in a record of factors, per pivot. */
type Step = {
  row: number
  column: number
  inverse: number
  multipliers: { row: number; at: number }[]
  upper: { column: number; at: number }[]
}

const planOf = ({ order, elimination }: CompiledCircuit): Step[] => {
  let at = 0
  const next = () => {
    at += 2
    return at - 2
  }
  return order.map(({ row, column }, k) => ({
    row,
    column,
    inverse: next(),
    multipliers: elimination.multipliers[k].map((m) => ({ row: m.row, at: next() })),
    upper: elimination.upper[k].map((u) => ({ column: u.column, at: next() })),
  }))
}

const forward = (plan: Step[], f: Float64Array, base: number, right: Float64Array) => {
  for (const { row, multipliers } of plan) {
    const re = right[2 * row]
    const im = right[2 * row + 1]
    // Most of a unit vector is zero, and stays so above the first pivot it meets.
    if (re === 0 && im === 0) continue
    for (const { row: target, at } of multipliers) {
      const fr = f[base + at]
      const fi = f[base + at + 1]
      right[2 * target] -= fr * re - fi * im
      right[2 * target + 1] -= fr * im + fi * re
    }
  }
}

const backward = (plan: Step[], f: Float64Array, base: number, right: Float64Array, x: Float64Array, at: number) => {
  for (let k = plan.length - 1; k >= 0; k--) {
    const { row, column, inverse, upper } = plan[k]
    let re = right[2 * row]
    let im = right[2 * row + 1]
    for (const u of upper) {
      const ur = f[base + u.at]
      const ui = f[base + u.at + 1]
      const vr = x[at + 2 * u.column]
      const vi = x[at + 2 * u.column + 1]
      re -= ur * vr - ui * vi
      im -= ur * vi + ui * vr
    }
    const pr = f[base + inverse]
    const pi = f[base + inverse + 1]
    x[at + 2 * column] = re * pr - im * pi
    x[at + 2 * column + 1] = re * pi + im * pr
  }
}
