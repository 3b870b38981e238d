import { BoardwrightError } from '../model/error.ts'

/** An orthogonal factorisation kept as reflections; columns are stored one after the other. */
export interface Factorisation {
  rows: number
  columns: number
  /** Reflection vectors from the diagonal down, per column. */
  reflections: readonly Float64Array[]
  /** Upper triangle: `triangle[j][i]` is row i of column j. */
  triangle: readonly Float64Array[]
}

/** Applies one reflection in place: x - 2 v (v.x) / (v.v), from row `start`. */
function reflect(v: Float64Array, x: Float64Array, start: number): void {
  let dot = 0
  let norm = 0
  for (let i = start; i < x.length; i++) {
    dot += v[i]! * x[i]!
    norm += v[i]! * v[i]!
  }
  if (norm === 0) return
  const factor = (2 * dot) / norm
  for (let i = start; i < x.length; i++) x[i]! -= factor * v[i]!
}

/**
 * Householder factorisation of a tall matrix.
 * Source: Golub and Van Loan, "Matrix Computations", 5.2.1.
 * @param columns the matrix by columns, all of one length not below their number
 * Throws `bad-argument` when the columns depend on each other to rounding.
 */
export function factorise(columns: readonly Float64Array[]): Factorisation {
  const work = columns.map((column) => Float64Array.from(column))
  const rows = work[0]?.length ?? 0
  const reflections: Float64Array[] = []
  for (const [j, column] of work.entries()) {
    let norm = 0
    for (let i = j; i < rows; i++) norm = Math.hypot(norm, column[i]!)
    const full = Math.hypot(...columns[j]!)
    if (!(norm > full * Number.EPSILON)) {
      throw new BoardwrightError(
        'bad-argument',
        `Column ${j + 1} of the model says nothing that the others do not say.`,
      )
    }
    const v = Float64Array.from(column)
    v[j]! += column[j]! < 0 ? -norm : norm
    for (const later of work.slice(j)) reflect(v, later, j)
    reflections.push(v)
  }
  return { rows, columns: work.length, reflections, triangle: work }
}

/** Turns a right-hand side by the orthogonal factor, in a new array. */
export function rotate(factorisation: Factorisation, values: ArrayLike<number>): Float64Array {
  const turned = Float64Array.from(values)
  for (const [j, v] of factorisation.reflections.entries()) reflect(v, turned, j)
  return turned
}

/** Undoes the turn of `rotate`, in a new array. */
export function rotateBack(factorisation: Factorisation, turned: ArrayLike<number>): Float64Array {
  const values = Float64Array.from(turned)
  for (let j = factorisation.columns - 1; j >= 0; j--) reflect(factorisation.reflections[j]!, values, j)
  return values
}

/** Solves the transposed triangle. */
export function forwardSubstitute(factorisation: Factorisation, values: ArrayLike<number>): Float64Array {
  const { columns, triangle } = factorisation
  const solution = new Float64Array(columns)
  for (let i = 0; i < columns; i++) {
    let rest = values[i]!
    for (let j = 0; j < i; j++) rest -= triangle[i]![j]! * solution[j]!
    solution[i] = rest / triangle[i]![i]!
  }
  return solution
}

/** Solves the triangle for a turned right-hand side. */
export function backSubstitute(factorisation: Factorisation, turned: ArrayLike<number>): Float64Array {
  const { columns, triangle } = factorisation
  const solution = new Float64Array(columns)
  for (let i = columns - 1; i >= 0; i--) {
    let rest = turned[i]!
    for (let j = i + 1; j < columns; j++) rest -= triangle[j]![i]! * solution[j]!
    solution[i] = rest / triangle[i]![i]!
  }
  return solution
}

/** Diagonal of the inverse of (transposed matrix times matrix): the variances of the coefficients per unit variance. */
export function inverseDiagonal(factorisation: Factorisation): Float64Array {
  const { columns } = factorisation
  const diagonal = new Float64Array(columns)
  for (let k = 0; k < columns; k++) {
    const unit = new Float64Array(columns)
    unit[k] = 1
    const column = backSubstitute(factorisation, unit)
    for (let i = 0; i <= k; i++) diagonal[i]! += column[i]! ** 2
  }
  return diagonal
}
