import { BoardwrightError } from '../model/error.ts'
import { requireCount } from './check-argument.ts'
import { binomialKernel } from './saddle-point.ts'

/** A sample drawn from a lot without putting back. */
export interface HypergeometricLaw {
  lotSize: number
  /** Bad ones in the lot. */
  marked: number
  sampleSize: number
}

/**
 * Probability of exactly `count` bad ones in the sample.
 * Source: Loader 2000: a ratio of three binomial probabilities with the chance sampleSize / lotSize, which cancels.
 * Throws `bad-argument` when the sample or the bad ones outnumber the lot.
 */
export function hypergeometricDensity(options: HypergeometricLaw & { count: number }): number {
  const { lotSize, marked, sampleSize, count } = options
  check(options)
  if (!Number.isInteger(count) || count < Math.max(0, sampleSize + marked - lotSize)) return 0
  if (count > Math.min(sampleSize, marked)) return 0
  const p = sampleSize / lotSize
  const q = (lotSize - sampleSize) / lotSize
  if (p === 0 || q === 0) return 1
  const inMarked = binomialKernel({ x: count, y: marked - count, p, q })
  const inGood = binomialKernel({ x: sampleSize - count, y: lotSize - marked - sampleSize + count, p, q })
  return (inMarked * inGood) / binomialKernel({ x: sampleSize, y: lotSize - sampleSize, p, q })
}

/** Probability of at most `count` bad ones in the sample. Throws `bad-argument`. */
export function hypergeometricCumulative(options: HypergeometricLaw & { count: number }): number {
  check(options)
  const last = Math.min(Math.floor(options.count), options.sampleSize)
  let sum = 0
  for (let count = 0; count <= last; count++) sum += hypergeometricDensity({ ...options, count })
  return Math.min(1, sum)
}

function check(law: HypergeometricLaw): void {
  requireCount('The lot size', law.lotSize, 1)
  requireCount('The number of bad ones', law.marked)
  requireCount('The sample size', law.sampleSize)
  if (law.marked > law.lotSize || law.sampleSize > law.lotSize) {
    throw new BoardwrightError('bad-argument', 'The sample and the bad ones can not outnumber the lot.')
  }
}
