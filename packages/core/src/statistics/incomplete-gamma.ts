import { requireNotNegative, requirePositive } from './check-argument.ts'
import { poissonKernel } from './saddle-point.ts'
import type { Tails } from './tail.ts'

const smallest = 1e-300

/** Series of DLMF 8.7.1, without its leading factor. */
function lowerSeries(shape: number, x: number): number {
  let term = 1
  let sum = 1
  for (let k = 1; term > sum * 1e-17; k++) {
    term *= x / (shape + k)
    sum += term
  }
  return sum
}

/** Continued fraction of DLMF 8.9.2 by Lentz's method, without its leading factor. */
function upperFraction(shape: number, x: number): number {
  let b = x + 1 - shape
  let c = 1 / smallest
  let d = 1 / b
  let value = d
  for (let k = 1; k < 1_000_000; k++) {
    const a = -k * (k - shape)
    b += 2
    d = 1 / nonZero(a * d + b)
    c = nonZero(b + a / c)
    value *= c * d
    if (Math.abs(c * d - 1) < 1e-16) break
  }
  return value
}

const nonZero = (x: number): number => (Math.abs(x) < smallest ? smallest : x)

/**
 * Regularised incomplete gamma functions P (lower) and Q (upper).
 * Source: DLMF 8.2.4, by the series 8.7.1 below the mean and the continued fraction 8.9.2 above it.
 * @param options.shape above 0
 * @param options.x 0 or more; throws `bad-argument`
 */
export function regularisedGamma(options: { shape: number; x: number }): Tails {
  const { shape, x } = options
  requirePositive('The shape of the gamma function', shape)
  if (x === Number.POSITIVE_INFINITY) return { lower: 1, upper: 0 }
  requireNotNegative('The argument of the gamma function', x)
  if (x === 0) return { lower: 0, upper: 1 }
  const factor = poissonKernel(shape, x)
  if (x < shape + 1) {
    const lower = Math.min(1, factor * lowerSeries(shape, x))
    return { lower, upper: 1 - lower }
  }
  const upper = Math.min(1, factor * shape * upperFraction(shape, x))
  return { lower: 1 - upper, upper }
}
