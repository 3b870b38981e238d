import { stirlingRemainder } from './log-gamma.ts'

/**
 * Deviance x ln(x / mean) + mean - x, without the cancellation near x = mean.
 * With v = (x - mean) / (x + mean), ln(x / mean) = 2 atanh v, which leaves v (x - mean) + 2 x (v^3/3 + v^5/5 + ...).
 * Source: C. Loader, "Fast and accurate computation of binomial probabilities", 2000.
 */
function deviance(x: number, mean: number): number {
  if (x === 0) return mean
  if (Math.abs(x - mean) > 0.1 * (x + mean)) return x * Math.log(x / mean) + mean - x
  const v = (x - mean) / (x + mean)
  let sum = v * (x - mean)
  let power = 2 * x * v
  for (let j = 3; ; j += 2) {
    power *= v * v
    const next = sum + power / j
    if (next === sum) return sum
    sum = next
  }
}

/**
 * mean^x exp(-mean) / Gamma(x + 1) for real x >= 0: a Poisson probability, and the factor before the incomplete gamma
 * function. Full relative accuracy also for large arguments. Source: Loader 2000.
 */
export function poissonKernel(x: number, mean: number): number {
  if (mean === 0) return x === 0 ? 1 : 0
  if (x === 0) return Math.exp(-mean)
  return Math.exp(-stirlingRemainder(x) - deviance(x, mean)) / Math.sqrt(2 * Math.PI * x)
}

/**
 * Gamma(x + y + 1) / (Gamma(x + 1) Gamma(y + 1)) p^x q^y for real x, y >= 0 and p + q = 1: a binomial probability, and
 * the factor before the incomplete beta function. Both p and q are given, so that neither is rounded. Source: Loader 2000.
 */
export function binomialKernel(options: { x: number; y: number; p: number; q: number }): number {
  const { x, y, p, q } = options
  if (p === 0) return x === 0 ? 1 : 0
  if (q === 0) return y === 0 ? 1 : 0
  if (x === 0) return Math.exp(y * (p < 0.5 ? Math.log1p(-p) : Math.log(q)))
  if (y === 0) return Math.exp(x * (q < 0.5 ? Math.log1p(-q) : Math.log(p)))
  const n = x + y
  const exponent =
    stirlingRemainder(n) - stirlingRemainder(x) - stirlingRemainder(y) - deviance(x, n * p) - deviance(y, n * q)
  return Math.exp(exponent) * Math.sqrt(n / (2 * Math.PI * x * y))
}
