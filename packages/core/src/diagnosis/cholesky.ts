/**
 * Factors a symmetric positive definite matrix in place: A = L Lᵀ, L in the lower half.
 *
 * @param a row after row, `size` squared
 * @returns ln of the determinant of A
 */
export const choleskyInPlace = (a: Float64Array, size: number): number => {
  let logDeterminant = 0
  for (let j = 0; j < size; j++) {
    const row = j * size
    let d = a[row + j]
    for (let k = 0; k < j; k++) d -= a[row + k] * a[row + k]
    // With 1 on the diagonal of the prior, only rounding can bring this to zero.
    const pivot = Math.sqrt(Math.max(d, 1e-12))
    a[row + j] = pivot
    logDeterminant += 2 * Math.log(pivot)
    for (let i = j + 1; i < size; i++) {
      const other = i * size
      let sum = a[other + j]
      for (let k = 0; k < j; k++) sum -= a[other + k] * a[row + k]
      a[other + j] = sum / pivot
    }
  }
  return logDeterminant
}

/** Solves L Lᵀ x = b in place. */
export const choleskySolve = (factor: Float64Array, size: number, b: Float64Array) => {
  for (let i = 0; i < size; i++) {
    let sum = b[i]
    for (let k = 0; k < i; k++) sum -= factor[i * size + k] * b[k]
    b[i] = sum / factor[i * size + i]
  }
  choleskySolveUpper(factor, size, b)
}

/** Solves Lᵀ x = b in place. */
const choleskySolveUpper = (factor: Float64Array, size: number, b: Float64Array) => {
  for (let i = size - 1; i >= 0; i--) {
    let sum = b[i]
    for (let k = i + 1; k < size; k++) sum -= factor[k * size + i] * b[k]
    b[i] = sum / factor[i * size + i]
  }
}
