import { requireCount } from './check-argument.ts'
import { integrate } from './integrate.ts'
import { normalProbability } from './normal.ts'

/** Mean and standard deviation of the range of standard normal samples: the constants d2 and d3. */
export interface RangeMoments {
  mean: number
  standardDeviation: number
}

const known = new Map<number, RangeMoments>()

/**
 * Density of the range w of n standard normal values, integrated over the middle c of the smallest and the largest:
 * n (n - 1) phi(c - w/2) phi(c + w/2) (Phi(c + w/2) - Phi(c - w/2))^(n - 2).
 * The integrand is smooth and falls like exp(-c^2), so that the plain trapezium rule is exact to rounding.
 * Source: David and Nagaraja, "Order Statistics", 2.3.
 */
function rangeDensity(sampleSize: number, range: number): number {
  const step = 1 / 16
  const half = range / 2
  let sum = 0
  for (let c = 0; c < 6.5; c += step) {
    const between =
      c > half
        ? normalProbability({ z: c - half, tail: 'upper' }) - normalProbability({ z: c + half, tail: 'upper' })
        : normalProbability({ z: c + half }) - normalProbability({ z: c - half })
    sum += (c === 0 ? 1 : 2) * Math.exp(-c * c) * between ** (sampleSize - 2)
  }
  return (sampleSize * (sampleSize - 1) * Math.exp(-half * half) * sum * step) / (2 * Math.PI)
}

/**
 * Mean d2 and standard deviation d3 of the range of n standard normal values, to about 1e-13.
 * Source: Tippett, Biometrika 17 (1925) 364-387: d2 is the integral of 1 - Phi^n - (1 - Phi)^n; the second moment is
 * taken from the density.
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
  const mean = 2 * integrate({ f: outside, from: 0, to: 10 })
  const square = integrate({
    f: (range) => range * range * rangeDensity(sampleSize, range),
    from: 0,
    to: 18,
    breaks: [3, 6, 9, 12],
    tolerance: 1e-13,
  })
  const moments = { mean, standardDeviation: Math.sqrt(square - mean * mean) }
  known.set(sampleSize, moments)
  return moments
}
