import { binomialTails } from './binomial.ts'
import { requireCount } from './check-argument.ts'
import { findRoot } from './find-root.ts'
import { hypergeometricCumulative } from './hypergeometric.ts'

/** A single sampling plan: so many are inspected, at most so many may be bad. */
export interface SinglePlan {
  sampleSize: number
  acceptanceNumber: number
}

/** Chance to accept a lot of known size with so many bad ones; exact (hypergeometric). Throws `bad-argument`. */
export function lotAcceptance(options: SinglePlan & { lotSize: number; bad: number }): number {
  const { lotSize, bad: marked, sampleSize, acceptanceNumber: count } = options
  requireCount('The acceptance number', count)
  return hypergeometricCumulative({ lotSize, marked, sampleSize, count })
}

/** Chance to accept from a long production with a share of bad ones (binomial). Throws `bad-argument`. */
export function processAcceptance(options: SinglePlan & { shareBad: number }): number {
  requireCount('The acceptance number', options.acceptanceNumber)
  return binomialTails({
    trials: options.sampleSize,
    chance: options.shareBad,
    count: options.acceptanceNumber,
  }).lower
}

/**
 * Share of bad ones that a plan accepts with a given chance: 0.95 gives the producer's point, 0.10 the consumer's.
 * Source: operating characteristic, ISO 2859-1 clause 12 (binomial); inverted numerically. Throws `bad-argument`.
 */
export function shareAcceptedWith(options: SinglePlan & { probability: number }): number {
  requireCount('The acceptance number', options.acceptanceNumber)
  if (options.acceptanceNumber >= options.sampleSize) return 1
  const f = (shareBad: number): number => processAcceptance({ ...options, shareBad }) - options.probability
  return findRoot({ f, from: 0, to: 1 })
}
