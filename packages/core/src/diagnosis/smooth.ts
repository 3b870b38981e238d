/** One value in about every `step` points of a curve, by a local parabola; `variance` is the share of the points' own that is left. */
export type Thinned = { index: Int32Array; value: Float64Array; variance: Float64Array }

/** Most points that are kept of a curve: the circuits of the trade have nothing finer. */
const keptPoints = 49

/** Indices of the points kept, spread evenly over the curve. */
const keptIndices = (length: number): Int32Array => {
  const step = Math.max(1, Math.round((length - 1) / (keptPoints - 1)))
  return Int32Array.from({ length: Math.floor((length - 1) / step) + 1 }, (_, k) => k * step)
}

/**
 * Thins a curve: at each kept point the value of the parabola through its neighbours (as many as lie between kept points).
 *
 * Source: A. Savitzky and M. J. E. Golay, Analytical Chemistry 36 (1964); near the ends the same least squares, one-sided.
 */
export const thin = (values: ArrayLike<number>): Thinned => {
  const index = keptIndices(values.length)
  const step = index.length > 1 ? index[1] - index[0] : 1
  const half = step < 3 ? 0 : Math.ceil(step / 2)
  const value = new Float64Array(index.length)
  const variance = new Float64Array(index.length)
  index.forEach((at, k) => {
    const from = Math.max(0, at - half)
    const to = Math.min(values.length - 1, at + half)
    const weights = parabolaWeights(from - at, to - at)
    for (let j = from; j <= to; j++) {
      value[k] += weights[j - from] * values[j]
      variance[k] += weights[j - from] ** 2
    }
  })
  return { index, value, variance }
}

/** Weights of the value at 0 of the parabola fitted over the whole numbers from `from` to `to`. */
const parabolaWeights = (from: number, to: number): number[] => {
  const x = Array.from({ length: to - from + 1 }, (_, i) => from + i)
  if (x.length < 4) return x.map((v) => (v === 0 ? 1 : 0))
  const s = [0, 1, 2, 3, 4].map((p) => x.reduce((sum, v) => sum + v ** p, 0))
  // First row of the inverse of the normal matrix [s0 s1 s2; s1 s2 s3; s2 s3 s4].
  const a = s[2] * s[4] - s[3] * s[3]
  const b = s[2] * s[3] - s[1] * s[4]
  const c = s[1] * s[3] - s[2] * s[2]
  const determinant = s[0] * a + s[1] * b + s[2] * c
  return x.map((v) => (a + b * v + c * v * v) / determinant)
}

/**
 * Standard deviation of the noise on a smooth curve, from its third differences, robust against a few jumps.
 *
 * Source: a third difference of white noise has 20 times its variance; median absolute deviation over 0.6745.
 */
export const noiseOf = (values: ArrayLike<number>): number => {
  const differences: number[] = []
  for (let i = 0; i + 3 < values.length; i++)
    differences.push(Math.abs(values[i + 3] - 3 * values[i + 2] + 3 * values[i + 1] - values[i]))
  if (differences.length < 20) return 0
  differences.sort((a, b) => a - b)
  return differences[Math.floor(differences.length / 2)] / 0.6745 / Math.sqrt(20)
}
