import { requireProbability } from './check-argument.ts'
import type { Tail } from './tail.ts'

/**
 * Density of the standard normal distribution. The square is split into an exactly squared part and a small rest, so
 * that the far tails keep their digits.
 */
export function normalDensity(z: number): number {
  const coarse = Math.round(z * 16) / 16
  if (!(Math.abs(z) < 40)) return Number.isNaN(z) ? Number.NaN : 0
  const rest = (z - coarse) * (z + coarse)
  return (Math.exp(-0.5 * coarse * coarse) * Math.exp(-0.5 * rest)) / Math.sqrt(2 * Math.PI)
}

/** Probability beyond z >= 2 by the continued fraction of Abramowitz and Stegun 26.2.14. */
function farTail(z: number): number {
  // The fraction converges like exp(-z sqrt(8 terms)).
  let fraction = 0
  for (let k = Math.ceil(12 + 240 / (z * z)); k >= 1; k--) fraction = k / (z + fraction)
  return normalDensity(z) / (z + fraction)
}

/** Probability between 0 and z by the series of Abramowitz and Stegun 26.2.11. */
function fromMiddle(z: number): number {
  let term = z
  let sum = z
  for (let k = 3; Math.abs(term) > 1e-17 * Math.abs(sum); k += 2) {
    term *= (z * z) / k
    sum += term
  }
  return normalDensity(z) * sum
}

/**
 * Probability that a standard normal variable lies up to z (or beyond it, with `tail: 'upper'`).
 * Each tail has full relative accuracy. Source: Abramowitz and Stegun 26.2.11 and 26.2.14.
 */
export function normalProbability(options: { z: number; tail?: Tail }): number {
  const z = options.tail === 'upper' ? -options.z : options.z
  if (z <= -2) return farTail(-z)
  if (z >= 2) return 1 - farTail(z)
  return 0.5 + fromMiddle(z)
}

/**
 * The value that a standard normal variable stays below (or exceeds, with `tail: 'upper'`) with a given probability.
 * Newton's method on the logarithm of the tail, which is concave: from the right every step stays on the right.
 * @param options.probability strictly between 0 and 1; throws `bad-argument`
 */
export function normalQuantile(options: { probability: number; tail?: Tail }): number {
  const { probability, tail = 'lower' } = options
  requireProbability('A probability', probability)
  const sign = tail === 'lower' ? -1 : 1
  if (probability === 0.5) return 0
  if (probability > 0.5) return -sign * upperQuantile(1 - probability)
  return sign * upperQuantile(probability)
}

function upperQuantile(probability: number): number {
  // The tail is below exp(-z^2 / 2) / 2, which gives a start to the right of the solution.
  let z = Math.sqrt(-2 * Math.log(2 * probability))
  for (let step = 0; step < 60; step++) {
    const upper = normalProbability({ z, tail: 'upper' })
    const change = (Math.log(upper / probability) * upper) / normalDensity(z)
    z += change
    if (Math.abs(change) < 2e-16 * z) break
  }
  return z
}
