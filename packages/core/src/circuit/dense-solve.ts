/**
 * Solves the real system A x = b in place by elimination with partial pivoting.
 *
 * @param a n rows of n numbers, row after row; destroyed
 * @param b right-hand side; becomes the solution
 * @returns false when the matrix is singular to working precision
 */
export const solveDense = (a: Float64Array, b: Float64Array): boolean => {
  const n = b.length
  for (let k = 0; k < n; k++) {
    let p = k
    for (let r = k + 1; r < n; r++) if (Math.abs(a[r * n + k]) > Math.abs(a[p * n + k])) p = r
    if (!(Math.abs(a[p * n + k]) > 0)) return false
    if (p !== k) {
      for (let c = k; c < n; c++) [a[k * n + c], a[p * n + c]] = [a[p * n + c], a[k * n + c]]
      ;[b[k], b[p]] = [b[p], b[k]]
    }
    for (let r = k + 1; r < n; r++) {
      const f = a[r * n + k] / a[k * n + k]
      if (f === 0) continue
      for (let c = k + 1; c < n; c++) a[r * n + c] -= f * a[k * n + c]
      b[r] -= f * b[k]
    }
  }
  for (let k = n - 1; k >= 0; k--) {
    for (let c = k + 1; c < n; c++) b[k] -= a[k * n + c] * b[c]
    b[k] /= a[k * n + k]
  }
  return true
}
