import { requireCount } from './check-argument.ts'
import { integrate } from './integrate.ts'
import { normalDensity, normalProbability } from './normal.ts'

/** No standard normal value beyond this is met: the tail there is 1e-23. */
const edge = 10

/** Mean and standard deviation of the range of standard normal samples: the constants d2 and d3. */
export interface RangeMoments {
  mean: number
  standardDeviation: number
}

const known = new Map<number, RangeMoments>()

/**
 * Probability that the range of n standard normal values is at most w.
 * Source: David and Nagaraja, "Order Statistics", 2.3: n times the integral of phi(x) (Phi(x + w) - Phi(x))^(n - 1).
 */
export function rangeProbability(options: { sampleSize: number; range: number }): number {
  const { sampleSize, range } = options
  requireCount('The sample size', sampleSize, 2)
  if (range <= 0) return 0
  const between = (x: number): number =>
    x > 0
      ? normalProbability({ z: x, tail: 'upper' }) - normalProbability({ z: x + range, tail: 'upper' })
      : normalProbability({ z: x + range }) - normalProbability({ z: x })
  const f = (x: number): number => sampleSize * normalDensity(x) * between(x) ** (sampleSize - 1)
  return Math.min(1, integrate({ f, from: -edge - range, to: edge, breaks: [-range / 2, 0], tolerance: 1e-15 }))
}

/**
 * Mean d2 and standard deviation d3 of the range of n standard normal values, to about 1e-12.
 * Source: Tippett 1925: d2 is the integral of 1 - Phi^n - (1 - Phi)^n; the second moment is twice the integral of
 * w P(range > w).
 * @param sampleSize 2 or more; throws `bad-argument`
 */
export function rangeMoments(sampleSize: number): RangeMoments {
  requireCount('The sample size', sampleSize, 2)
  const kept = known.get(sampleSize)
  if (kept) return kept
  const outside = (x: number): number => {
    const upper = normalProbability({ z: x, tail: 'upper' })
    return -Math.expm1(sampleSize * Math.log1p(-upper)) - upper ** sampleSize
  }
  const mean = 2 * integrate({ f: outside, from: 0, to: edge })
  const square =
    2 *
    integrate({
      f: (range) => range * (1 - rangeProbability({ sampleSize, range })),
      from: 0,
      to: 2 * edge,
      breaks: [2, 4, 6, 9],
      tolerance: 1e-13,
    })
  const moments = { mean, standardDeviation: Math.sqrt(square - mean * mean) }
  known.set(sampleSize, moments)
  return moments
}
