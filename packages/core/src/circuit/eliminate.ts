import {
  add,
  type ComplexExpression,
  isZero,
  multiply,
  real,
  reciprocal,
  subtract,
  zero,
} from './complex-expression.ts'
import type { Equations } from './equations.ts'
import type { Pivot } from './pivot-order.ts'
import { ScalarProgram } from './scalar-program.ts'
import { termExpression } from './term.ts'

/** The factors of Y: `multipliers[k]` are the rows below pivot k with their factor, `upper[k]` the row of pivot k. */
export type Elimination = {
  program: ScalarProgram
  order: readonly Pivot[]
  inversePivots: ComplexExpression[]
  multipliers: { row: number; factor: ComplexExpression }[][]
  upper: { column: number; value: ComplexExpression }[][]
  /** Right-hand side after the forward pass, by row. */
  rightSide: ComplexExpression[]
}

/** Writes the elimination of a circuit's equations in a fixed pivot order as a program on numbers. */
export const writeElimination = (equations: Equations, order: readonly Pivot[]): Elimination => {
  const program = new ScalarProgram()
  const { rows, rightSide } = writeMatrix(program, equations)
  const elimination: Elimination = { program, order, inversePivots: [], multipliers: [], upper: [], rightSide }
  for (const { row, column } of order) {
    const pivotRow = rows[row]
    const inverse = reciprocal(program, pivotRow.get(column) ?? zero)
    const upper = [...pivotRow].filter(([c]) => c !== column).map(([c, value]) => ({ column: c, value }))
    const multipliers: Elimination['multipliers'][number] = []
    rows[row] = new Map()
    const below = new Map<number, ComplexExpression>()
    rows.forEach((target, r) => {
      const entry = target.get(column)
      if (!entry) return
      target.delete(column)
      below.set(r, entry)
      multipliers.push({ row: r, factor: multiply(program, entry, inverse) })
    })
    // Where the matrix is symmetric, entries (i, j) and (j, i) change by the same product: written once, kept once.
    const mirrored = (i: number) => row === column && same(below.get(i), pivotRow.get(i))
    for (const { row: r, factor } of multipliers) {
      const target = rows[r]
      for (const { column: c, value } of upper) {
        const turn = c < r && mirrored(r) && mirrored(c)
        const change = turn
          ? multiply(program, multiply(program, below.get(c) ?? zero, inverse), pivotRow.get(r) ?? zero)
          : multiply(program, factor, value)
        target.set(c, subtract(program, target.get(c) ?? zero, change))
      }
      rightSide[r] = subtract(program, rightSide[r], multiply(program, factor, rightSide[row]))
    }
    elimination.inversePivots.push(inverse)
    elimination.multipliers.push(multipliers)
    elimination.upper.push(upper)
  }
  return elimination
}

const same = (a: ComplexExpression | undefined, b: ComplexExpression | undefined): boolean =>
  a !== undefined && b !== undefined && a.re === b.re && a.im === b.im

const writeMatrix = (program: ScalarProgram, { unknowns, terms, stamps }: Equations) => {
  const rows = unknowns.map(() => new Map<number, ComplexExpression>())
  const rightSide = unknowns.map(() => zero)
  const expressions = terms.map((t) => termExpression(program, t))
  for (const { row, column, term, factor } of stamps) {
    const scaled =
      factor === 1 || factor === -1
        ? expressions[term]
        : multiply(program, expressions[term], real(program.constant(Math.abs(factor))))
    const join = factor > 0 ? add : subtract
    if (column < 0) rightSide[row] = join(program, rightSide[row], scaled)
    else rows[row].set(column, join(program, rows[row].get(column) ?? zero, scaled))
  }
  return { rows, rightSide }
}

/** Voltage of the node whose column was eliminated last. */
export const writeLastVoltage = ({ program, order, inversePivots, rightSide }: Elimination): ComplexExpression => {
  const last = order.length - 1
  return multiply(program, rightSide[order[last].row], inversePivots[last])
}

/** Voltages of all nodes by back substitution, by column. */
export const writeVoltages = (elimination: Elimination): ComplexExpression[] => {
  const { program, order, inversePivots, upper, rightSide } = elimination
  const voltages: ComplexExpression[] = order.map(() => zero)
  for (let k = order.length - 1; k >= 0; k--) {
    let sum = rightSide[order[k].row]
    for (const { column, value } of upper[k]) sum = subtract(program, sum, multiply(program, value, voltages[column]))
    voltages[order[k].column] = multiply(program, sum, inversePivots[k])
  }
  return voltages
}

/**
 * Output voltage for a unit current into each node, by row: the solution of Yᵀ a = e(output). As the output's column is last,
 * the forward half of that solve is a single division.
 */
export const writeAdjoint = ({ program, order, inversePivots, multipliers }: Elimination): ComplexExpression[] => {
  const last = order.length - 1
  const adjoint: ComplexExpression[] = order.map(() => zero)
  adjoint[order[last].row] = inversePivots[last]
  for (let k = last - 1; k >= 0; k--) {
    let sum: ComplexExpression = zero
    for (const { row, factor } of multipliers[k]) {
      const other = adjoint[row]
      if (!isZero(other)) sum = subtract(program, sum, multiply(program, factor, other))
    }
    adjoint[order[k].row] = sum
  }
  return adjoint
}
