/**
 * Least squares of an m by n system (m ≥ n) by Householder reflections, in place.
 *
 * @param columns n columns of m numbers; destroyed: their upper triangle becomes R
 * @param right m numbers; destroyed: its first n become Qᵀ right
 * Source: G. H. Golub and C. F. Van Loan, "Matrix Computations", algorithm 5.2.1.
 */
export const triangularise = (columns: readonly Float64Array[], right: Float64Array): void => {
  const m = right.length
  columns.forEach((column, k) => {
    let square = 0
    for (let i = k; i < m; i++) square += column[i] * column[i]
    const norm = Math.sqrt(square)
    if (norm === 0) return
    const alpha = column[k] > 0 ? -norm : norm
    // The reflection vector v stands in the column from k on; v·v = 2 (square − alpha · column[k]).
    const half = square - alpha * column[k]
    const head = column[k] - alpha
    column[k] = head
    for (let j = k + 1; j < columns.length; j++) reflect(column, columns[j], k, half)
    reflect(column, right, k, half)
    column[k] = alpha
  })
}

const reflect = (v: Float64Array, x: Float64Array, from: number, half: number) => {
  let sum = 0
  for (let i = from; i < x.length; i++) sum += v[i] * x[i]
  const scale = sum / half
  if (scale === 0) return
  for (let i = from; i < x.length; i++) x[i] -= scale * v[i]
}

/** Solves R x = right for the upper triangle left by `triangularise`; a zero on the diagonal leaves that unknown at 0. */
export const backSubstitute = (columns: readonly Float64Array[], right: Float64Array): Float64Array => {
  const n = columns.length
  const x = new Float64Array(n)
  for (let k = n - 1; k >= 0; k--) {
    let sum = right[k]
    for (let j = k + 1; j < n; j++) sum -= columns[j][k] * x[j]
    x[k] = columns[k][k] === 0 ? 0 : sum / columns[k][k]
  }
  return x
}
