/**
 * Solves A x = b for a symmetric positive definite A (row by row). Source: Cholesky's factorisation, textbook.
 */
export const solveSymmetric = (matrix: Float64Array, right: Float64Array): Float64Array => {
  const size = right.length
  const lower = matrix.slice()
  const x = right.slice()
  for (let j = 0; j < size; j++) {
    for (let i = j; i < size; i++) {
      let value = lower[i * size + j]
      for (let k = 0; k < j; k++) value -= lower[i * size + k] * lower[j * size + k]
      lower[i * size + j] = i === j ? Math.sqrt(value) : value / lower[j * size + j]
    }
  }
  for (let i = 0; i < size; i++) {
    for (let k = 0; k < i; k++) x[i] -= lower[i * size + k] * x[k]
    x[i] /= lower[i * size + i]
  }
  for (let i = size - 1; i >= 0; i--) {
    for (let k = i + 1; k < size; k++) x[i] -= lower[k * size + i] * x[k]
    x[i] /= lower[i * size + i]
  }
  return x
}
