import { BoardwrightError } from '../model/error.ts'

/**
 * Where a continuous function crosses zero between two points of opposite sign.
 * Inverse quadratic interpolation where it is safe, bisection elsewhere; stops at the last bit.
 * Source: T. R. Chandrupatla, Advances in Engineering Software 28 (1997) 145-149.
 * Throws `bad-argument` when the ends do not have opposite signs.
 */
export function findRoot(options: { f: (x: number) => number; from: number; to: number }): number {
  const { f } = options
  let a = options.to
  let b = options.from
  let fa = f(a)
  let fb = f(b)
  if (fa === 0) return a
  if (fb === 0) return b
  if (!(fa < 0 !== fb < 0) || Number.isNaN(fa + fb)) {
    throw new BoardwrightError('bad-argument', 'There is no solution in the range searched.')
  }
  let t = 0.5
  for (let step = 0; step < 300; step++) {
    const x = a + t * (b - a)
    const fx = f(x)
    const sameSide = fx < 0 === fa < 0
    const c = sameSide ? a : b
    const fc = sameSide ? fa : fb
    if (!sameSide) {
      b = a
      fb = fa
    }
    a = x
    fa = fx
    const best = Math.abs(fa) < Math.abs(fb) ? a : b
    const limit = (2 * Number.EPSILON * Math.abs(best) + 1e-300) / Math.abs(b - a)
    if (fx === 0 || limit > 0.5) return best
    t = nextFraction({ a, b, c, fa, fb, fc })
    t = Math.min(1 - limit, Math.max(limit, t))
  }
  return a
}

function nextFraction(p: { a: number; b: number; c: number; fa: number; fb: number; fc: number }): number {
  const { a, b, c, fa, fb, fc } = p
  const xi = (a - b) / (c - b)
  const phi = (fa - fb) / (fc - fb)
  if (!(phi * phi < xi && (1 - phi) * (1 - phi) < 1 - xi)) return 0.5
  return ((fa / (fb - fa)) * fc) / (fb - fc) + ((((c - a) / (b - a)) * fa) / (fc - fa)) * (fb / (fc - fb))
}
