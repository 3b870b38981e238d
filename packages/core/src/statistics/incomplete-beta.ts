import { BoardwrightError } from '../model/error.ts'
import { requirePositive } from './check-argument.ts'
import { binomialKernel } from './saddle-point.ts'
import type { Tails } from './tail.ts'

const smallest = 1e-300
const nonZero = (x: number): number => (Math.abs(x) < smallest ? smallest : x)

/** Continued fraction of DLMF 8.17.22 by Lentz's method, without its leading factor. */
function betaFraction(a: number, b: number, x: number): number {
  let c = 1
  let d = 1 / nonZero(1 - ((a + b) * x) / (a + 1))
  let value = d
  for (let m = 1; m < 1_000_000; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m))
    d = 1 / nonZero(1 + even * d)
    c = nonZero(1 + even / c)
    value *= d * c
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1))
    d = 1 / nonZero(1 + odd * d)
    c = nonZero(1 + odd / c)
    value *= d * c
    if (Math.abs(d * c - 1) < 1e-16) break
  }
  return value
}

/**
 * Regularised incomplete beta function I_x(a, b) (lower) and its complement (upper).
 * Source: DLMF 8.17.2, by the continued fraction 8.17.22 on the side where it converges fast (symmetry 8.17.4).
 * @param options.a above 0
 * @param options.b above 0
 * @param options.x 0 to 1; throws `bad-argument`
 * @param options.complement 1 - x, given where x itself would be rounded
 */
export function regularisedBeta(options: { a: number; b: number; x: number; complement?: number }): Tails {
  const { a, b, x, complement = 1 - options.x } = options
  requirePositive('The first shape of the beta function', a)
  requirePositive('The second shape of the beta function', b)
  if (!(x >= 0 && x <= 1)) {
    throw new BoardwrightError('bad-argument', `The argument of the beta function must be 0 to 1; it is ${x}.`)
  }
  if (x === 0) return { lower: 0, upper: 1 }
  if (complement === 0) return { lower: 1, upper: 0 }
  const factor = binomialKernel({ x: a, y: b, p: x, q: complement }) / (a + b)
  if (x <= (a + 1) / (a + b + 2)) {
    const lower = Math.min(1, factor * b * betaFraction(a, b, x))
    return { lower, upper: 1 - lower }
  }
  const upper = Math.min(1, factor * a * betaFraction(b, a, complement))
  return { lower: 1 - upper, upper }
}
