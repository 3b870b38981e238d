/** Eigenvalues from large to small; `vectors[k]` is the unit eigenvector of `values[k]`. */
export type EigenSystem = { values: Float64Array; vectors: Float64Array[] }

/**
 * Eigenvalues and eigenvectors of a real symmetric matrix.
 *
 * @param matrix n rows of n numbers, row after row; not changed
 * Source: cyclic Jacobi rotations, G. H. Golub and C. F. Van Loan, "Matrix Computations", section 8.5.
 */
export const symmetricEigen = (matrix: Float64Array, n: number): EigenSystem => {
  const a = matrix.slice()
  // Row k of v becomes eigenvector k, so that a rotation works on two rows that lie together.
  const v = new Float64Array(n * n)
  for (let i = 0; i < n; i++) v[i * n + i] = 1
  for (let sweep = 0; sweep < 60; sweep++) {
    if (offDiagonal(a, n) <= 1e-30 * onDiagonal(a, n)) break
    for (let p = 0; p < n - 1; p++) for (let q = p + 1; q < n; q++) rotate(a, v, n, p, q)
  }
  const order = Array.from({ length: n }, (_, i) => i).sort((i, j) => a[j * n + j] - a[i * n + i])
  return {
    values: Float64Array.from(order, (i) => a[i * n + i]),
    vectors: order.map((i) => v.slice(i * n, (i + 1) * n)),
  }
}

const offDiagonal = (a: Float64Array, n: number): number => {
  let sum = 0
  for (let p = 0; p < n; p++) for (let q = p + 1; q < n; q++) sum += a[p * n + q] ** 2
  return sum
}
const onDiagonal = (a: Float64Array, n: number): number => {
  let sum = 0
  for (let p = 0; p < n; p++) sum += a[p * n + p] ** 2
  return sum
}

const rotate = (a: Float64Array, v: Float64Array, n: number, p: number, q: number) => {
  const apq = a[p * n + q]
  if (apq === 0) return
  const tau = (a[q * n + q] - a[p * n + p]) / (2 * apq)
  const t = (tau >= 0 ? 1 : -1) / (Math.abs(tau) + Math.sqrt(1 + tau * tau))
  const c = 1 / Math.sqrt(1 + t * t)
  const s = t * c
  for (let k = 0; k < n; k++) {
    const x = a[k * n + p]
    const y = a[k * n + q]
    a[k * n + p] = c * x - s * y
    a[k * n + q] = s * x + c * y
  }
  for (let k = 0; k < n; k++) {
    const x = a[p * n + k]
    const y = a[q * n + k]
    a[p * n + k] = c * x - s * y
    a[q * n + k] = s * x + c * y
    const vx = v[p * n + k]
    const vy = v[q * n + k]
    v[p * n + k] = c * vx - s * vy
    v[q * n + k] = s * vx + c * vy
  }
}
