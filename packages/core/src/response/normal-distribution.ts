/**
 * Probability that a standard normal variable is below x.
 * Source: Abramowitz and Stegun 26.2.11 (series) and 26.2.14 (continued fraction for the tails).
 */
export function normalProbability(x: number): number {
  if (Number.isNaN(x)) return Number.NaN
  const density = Math.exp(-0.5 * x * x) / Math.sqrt(2 * Math.PI)
  if (Math.abs(x) > 5) {
    let tail = 0
    for (let k = 60; k >= 1; k--) tail = k / (Math.abs(x) + tail)
    const upper = density / (Math.abs(x) + tail)
    return x > 0 ? 1 - upper : upper
  }
  let term = x
  let sum = x
  for (let k = 3; Math.abs(term) > 1e-17 * Math.abs(sum); k += 2) {
    term *= (x * x) / k
    sum += term
  }
  return 0.5 + density * sum
}

/**
 * The value below which a standard normal variable stays with a given probability; the guard band factor of a one-sided
 * decision (JCGM 106, table 1: 0.95 gives 1.64).
 * Newton's method from 0: the distribution is concave above its middle, so that every step stays on the near side.
 * @param probability strictly between 0 and 1
 */
export function normalQuantile(probability: number): number {
  if (!(probability > 0 && probability < 1)) return probability === 0.5 ? 0 : Number.NaN
  if (probability < 0.5) return -normalQuantile(1 - probability)
  let z = 0
  for (let step = 0; step < 200; step++) {
    const density = Math.exp(-0.5 * z * z) / Math.sqrt(2 * Math.PI)
    const change = (probability - normalProbability(z)) / density
    z += change
    if (Math.abs(change) < 1e-14 * Math.max(1, z)) break
  }
  return z
}
