import type { Equations } from './equations.ts'
import { termValue } from './term.ts'

export type Pivot = { row: number; column: number }

/** Frequencies at which a pivot must be large enough, Hz: the ends and the middle of what is ever solved. */
const sampleHz = [1, 30, 1000, 20_000, 200_000]
/** Smallest pivot allowed, as a share of the largest number of its column (rows scaled to 1). */
const threshold = 0.02

/**
 * Finds the order of elimination once per topology: at each step the pivot that makes the fewest new entries among those that
 * are large enough at every sample. The output's column is last, so that its voltage needs no back substitution.
 *
 * @param samples tables of primitives the order must hold for (the circuit as designed, controls at their ends)
 * Source: H. M. Markowitz, "The elimination form of the inverse", Management Science 3 (1957), with threshold pivoting.
 */
export const findPivotOrder = (equations: Equations, samples: readonly Float64Array[]): Pivot[] => {
  const matrices = samples.flatMap((s) => sampleHz.map((f) => fillMatrix(equations, s, 2 * Math.PI * f)))
  matrices.forEach(scaleRows)
  const n = equations.unknowns.length
  const rows = new Set(Array.from({ length: n }, (_, i) => i))
  const columns = new Set(rows)
  const order: Pivot[] = []
  while (rows.size > 0) {
    const pivot = choosePivot(matrices, rows, columns, equations.outputIndex)
    order.push(pivot)
    rows.delete(pivot.row)
    columns.delete(pivot.column)
    for (const m of matrices) eliminate(m, pivot, rows, columns)
  }
  return order
}

type Dense = { re: Float64Array[]; im: Float64Array[]; filled: boolean[][] }

const fillMatrix = ({ unknowns, terms, stamps }: Equations, primitives: Float64Array, omega: number): Dense => {
  const n = unknowns.length
  const make = () => Array.from({ length: n }, () => new Float64Array(n))
  const m: Dense = {
    re: make(),
    im: make(),
    filled: Array.from({ length: n }, () => new Array<boolean>(n).fill(false)),
  }
  const numbers = terms.map((t) => termValue(t, primitives, omega))
  for (const { row, column, term, factor } of stamps) {
    if (column < 0) continue
    m.re[row][column] += factor * numbers[term].re
    m.im[row][column] += factor * numbers[term].im
    m.filled[row][column] = true
  }
  return m
}

const scaleRows = ({ re, im }: Dense) => {
  re.forEach((row, r) => {
    const largest = row.reduce((most, x, c) => Math.max(most, Math.hypot(x, im[r][c])), 0)
    if (largest === 0) return
    for (let c = 0; c < row.length; c++) {
      row[c] /= largest
      im[r][c] /= largest
    }
  })
}

const choosePivot = (matrices: Dense[], rows: Set<number>, columns: Set<number>, last: number): Pivot => {
  const { filled } = matrices[0]
  const rowCount = new Map([...rows].map((r) => [r, [...columns].filter((c) => filled[r][c]).length]))
  let best: (Pivot & { cost: number; share: number; rank: number }) | undefined
  for (const column of columns) {
    if (column === last && columns.size > 1) continue
    const candidates = [...rows].filter((r) => filled[r][column])
    for (const row of candidates) {
      const share = Math.min(...matrices.map((m) => pivotShare(m, row, column, candidates)))
      const cost = ((rowCount.get(row) ?? 0) - 1) * (candidates.length - 1)
      const good = share >= threshold
      // On the diagonal a symmetric matrix stays symmetric, which halves the work that follows.
      const rank = share + (good && row === column ? 1 : 0)
      const bestGood = best !== undefined && best.share >= threshold
      if (!best || (good && !bestGood) || (good === bestGood && better({ cost, rank }, best, good)))
        best = { row, column, cost, share, rank }
    }
  }
  // Only a circuit whose equations contradict each other gets here; the connection checks have refused those.
  if (!best) throw new Error('The nodal equations are singular.')
  return { row: best.row, column: best.column }
}

const better = (a: { cost: number; rank: number }, b: { cost: number; rank: number }, byCost: boolean): boolean =>
  byCost ? a.cost < b.cost || (a.cost === b.cost && a.rank > b.rank) : a.rank > b.rank

const pivotShare = ({ re, im }: Dense, row: number, column: number, candidates: number[]): number => {
  let largest = 0
  for (const r of candidates) largest = Math.max(largest, Math.hypot(re[r][column], im[r][column]))
  return largest === 0 ? 0 : Math.hypot(re[row][column], im[row][column]) / largest
}

const eliminate = ({ re, im, filled }: Dense, pivot: Pivot, rows: Set<number>, columns: Set<number>) => {
  const { row: k, column: q } = pivot
  const d = re[k][q] ** 2 + im[k][q] ** 2
  for (const r of rows) {
    if (!filled[r][q]) continue
    const lr = (re[r][q] * re[k][q] + im[r][q] * im[k][q]) / d
    const li = (im[r][q] * re[k][q] - re[r][q] * im[k][q]) / d
    for (const c of columns) {
      if (!filled[k][c]) continue
      re[r][c] -= lr * re[k][c] - li * im[k][c]
      im[r][c] -= lr * im[k][c] + li * re[k][c]
      filled[r][c] = true
    }
  }
}
