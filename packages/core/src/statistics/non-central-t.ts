import { requireFinite, requirePositive } from './check-argument.ts'
import { chiSquareQuantile } from './chi-square.ts'
import { findRoot } from './find-root.ts'
import { integrate } from './integrate.ts'
import { normalProbability } from './normal.ts'
import { poissonKernel } from './saddle-point.ts'
import type { Tail } from './tail.ts'

/** Probability left out at either end of the spread of the standard deviation. */
const neglected = 1e-17

/**
 * Probability that a non-central t, (Z + nonCentrality) / sqrt(chi2 / degreesOfFreedom), lies up to t (or beyond it).
 * Integrated over s = sqrt(chi2 / degreesOfFreedom): given s, the probability is that of a normal variable.
 * Absolute error about 1e-13. Source: definition in Johnson, Kotz and Balakrishnan, "Continuous Univariate
 * Distributions" vol. 2, chapter 31.
 * @param options.degreesOfFreedom above 0; throws `bad-argument`
 */
export function nonCentralTProbability(options: {
  t: number
  degreesOfFreedom: number
  nonCentrality: number
  tail?: Tail
}): number {
  const { t, degreesOfFreedom, nonCentrality, tail = 'lower' } = options
  requirePositive('The degrees of freedom', degreesOfFreedom)
  requireFinite('The value t', t)
  requireFinite('The non-centrality', nonCentrality)
  const limit = (side: Tail): number =>
    Math.sqrt(chiSquareQuantile({ probability: neglected, degreesOfFreedom, tail: side }) / degreesOfFreedom)
  const density = (s: number): number =>
    (degreesOfFreedom / s) * poissonKernel(degreesOfFreedom / 2, (degreesOfFreedom * s * s) / 2)
  const turn = nonCentrality / t
  const width = 8 / Math.abs(t)
  const value = integrate({
    f: (s) => density(s) * normalProbability({ z: t * s - nonCentrality, tail }),
    from: limit('lower'),
    to: limit('upper'),
    breaks: [0.25, 1, turn - width, turn, turn + width].filter(Number.isFinite),
  })
  return Math.min(1, Math.max(0, value))
}

/** The value that a non-central t stays below (or exceeds, with `tail: 'upper'`) with a given probability. */
export function nonCentralTQuantile(options: {
  probability: number
  degreesOfFreedom: number
  nonCentrality: number
  tail?: Tail
}): number {
  const { probability, tail = 'lower', ...law } = options
  const sign = tail === 'lower' ? 1 : -1
  const f = (t: number): number => sign * (nonCentralTProbability({ ...law, t, tail }) - probability)
  let from = law.nonCentrality - 1
  let to = law.nonCentrality + 1
  for (let step = 1; f(from) > 0; step *= 2) from -= step
  for (let step = 1; f(to) < 0; step *= 2) to += step
  return findRoot({ f, from, to })
}
