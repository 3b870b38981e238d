import type { Verdict } from '../../model/verdict.ts'
import { guardBandFactor } from '../../statistics/conformance.ts'

/**
 * Width of the guard band on each side of a limit, dB.
 * Source: JCGM 106:2012, clause 8: the limit is kept (or broken) with the wanted probability when the measured value is
 * at least z x u on that side of it; u is the root sum of squares of the independent standard uncertainties (JCGM 100).
 * @param options.confidence one-sided probability, 0.5 (no guard band) to below 1; throws `bad-argument`
 * @param options.uncertaintiesDb independent standard uncertainties, dB
 */
export function guardBandDb(options: { confidence: number; uncertaintiesDb: readonly number[] }): number {
  return guardBandFactor({ probability: options.confidence }) * Math.hypot(...options.uncertaintiesDb)
}

/** Where a measured value lies against its limits. */
export interface PointDecision {
  verdict: Verdict
  /** The nearer (or broken) limit. */
  kind: 'above' | 'below'
  /** How far the value lies beyond that limit, dB; negative inside. */
  excessDb: number
}

/**
 * Decides one value: `pass` when it is inside both limits by the guard band or more, `fail` when it is outside one by
 * the guard band or more, `repeat` between: too close to call. Source: JCGM 106:2012, guarded acceptance and rejection.
 */
export function decideValue(options: {
  valueDb: number
  lowerDb: number
  upperDb: number
  guardDb: number
}): PointDecision {
  const above = options.valueDb - options.upperDb
  const below = options.lowerDb - options.valueDb
  const kind = above >= below ? 'above' : 'below'
  const excessDb = Math.max(above, below)
  if (!Number.isFinite(excessDb) || !Number.isFinite(options.guardDb)) return { verdict: 'repeat', kind, excessDb }
  // With no guard band at all a value exactly on its limit conforms (JCGM 106: the limits belong to the interval).
  if (excessDb <= -options.guardDb) return { verdict: 'pass', kind, excessDb }
  if (excessDb >= options.guardDb) return { verdict: 'fail', kind, excessDb }
  return { verdict: 'repeat', kind, excessDb }
}

const severity = { pass: 0, repeat: 1, fail: 2 } as const satisfies Record<Verdict, number>

/** The gravest of several verdicts: `fail` before `repeat` before `pass`; `pass` when there is none. */
export const gravest = (verdicts: Iterable<Verdict>): Verdict => {
  let worst: Verdict = 'pass'
  for (const verdict of verdicts) if (severity[verdict] > severity[worst]) worst = verdict
  return worst
}
