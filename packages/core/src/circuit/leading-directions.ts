import { RandomSource } from './random.ts'
import { symmetricEigen } from './symmetric-eigen.ts'

/** The directions in which a covariance is greatest: orthonormal, with the variance along each, from large to small. */
export type LeadingDirections = { variances: Float64Array; directions: Float64Array[] }

/**
 * Leading eigenvectors of a covariance matrix by subspace iteration, at a fraction of the cost of all of them.
 *
 * @param covariance symmetric, `size` rows of `size`
 * @param count how many
 * Source: N. Halko, P. G. Martinsson, J. A. Tropp, SIAM Review 53 (2011), algorithm 4.4 with a final Rayleigh-Ritz step.
 */
export const leadingDirections = (covariance: Float64Array, size: number, count: number): LeadingDirections => {
  const random = new RandomSource(1)
  // A few more than wanted make the last wanted ones accurate.
  const width = Math.min(size, count + 8)
  let basis = orthonormal(
    Array.from({ length: width }, () => Float64Array.from({ length: size }, () => random.normal())),
  )
  for (let round = 0; round < 6; round++) basis = orthonormal(basis.map((v) => times(covariance, v)))
  const mapped = basis.map((v) => times(covariance, v))
  const small = Float64Array.from({ length: width * width }, (_, k) =>
    dotProduct(basis[Math.floor(k / width)], mapped[k % width]),
  )
  const { values, vectors } = symmetricEigen(small, width)
  const kept = Math.min(count, size)
  return {
    variances: values.slice(0, kept),
    directions: vectors.slice(0, kept).map((mix) => {
      const direction = new Float64Array(size)
      basis.forEach((v, j) => {
        for (let i = 0; i < size; i++) direction[i] += mix[j] * v[i]
      })
      return direction
    }),
  }
}

export const dotProduct = (a: ArrayLike<number>, b: ArrayLike<number>): number => {
  let sum = 0
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i]
  return sum
}

const times = (matrix: Float64Array, v: Float64Array): Float64Array => {
  const n = v.length
  const out = new Float64Array(n)
  for (let r = 0; r < n; r++) {
    let sum = 0
    for (let c = 0; c < n; c++) sum += matrix[r * n + c] * v[c]
    out[r] = sum
  }
  return out
}

/** Gram-Schmidt, done twice so that nearly dependent vectors come out orthogonal to working precision. */
const orthonormal = (vectors: Float64Array[]): Float64Array[] => {
  const done: Float64Array[] = []
  for (const v of vectors) {
    const w = v.slice()
    for (let pass = 0; pass < 2; pass++)
      for (const u of done) {
        const share = dotProduct(u, w)
        for (let i = 0; i < w.length; i++) w[i] -= share * u[i]
      }
    const length = Math.sqrt(dotProduct(w, w))
    if (length > 1e-300) done.push(w.map((x) => x / length))
  }
  return done
}
