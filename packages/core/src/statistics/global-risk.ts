import { requireFinite, requirePositive } from './check-argument.ts'
import { checkLimits, normalInside, type ToleranceLimits } from './conformance.ts'
import { integrate } from './integrate.ts'
import { normalDensity } from './normal.ts'

/** What a decision rule does to a production as a whole; shares of all units. */
export interface GlobalRisk {
  inTolerance: number
  accepted: number
  /** Accepted though out of tolerance. */
  consumerRisk: number
  /** Rejected though in tolerance. */
  producerRisk: number
}

/**
 * Global risks of a decision rule, for a normal production and a normal measurement.
 * Source: JCGM 106:2012, clause 9: double integral over true and measured value; the inner one is a normal probability,
 * the outer one is done numerically to about 1e-12.
 * @param options.guardBand how far the acceptance limits lie inside the tolerance limits (negative: outside)
 * Throws `bad-argument`.
 */
export function globalRisk(
  options: ToleranceLimits & {
    production: { mean: number; standardDeviation: number }
    standardUncertainty: number
    guardBand: number
  },
): GlobalRisk {
  const { lower, upper, production, standardUncertainty, guardBand } = options
  checkLimits(options)
  requireFinite('The mean of the production', production.mean)
  requireFinite('The guard band', guardBand)
  requirePositive('The standard deviation of the production', production.standardDeviation)
  requirePositive('The standard uncertainty', standardUncertainty)
  const acceptance: ToleranceLimits = {
    ...(lower === undefined ? {} : { lower: lower + guardBand }),
    ...(upper === undefined ? {} : { upper: upper - guardBand }),
  }
  checkLimits(acceptance)
  const { mean, standardDeviation } = production
  const acceptedBoth = (from: number, to: number): number => {
    const [left, right] = [Math.max(from, mean - 10 * standardDeviation), Math.min(to, mean + 10 * standardDeviation)]
    if (!(left < right)) return 0
    const f = (y: number): number =>
      (normalDensity((y - mean) / standardDeviation) / standardDeviation) *
      normalInside({ mean: y, standardDeviation: standardUncertainty, ...acceptance })
    return integrate({ f, from: left, to: right, breaks: turns(acceptance, standardUncertainty, mean) })
  }
  const low = lower ?? Number.NEGATIVE_INFINITY
  const high = upper ?? Number.POSITIVE_INFINITY
  const inTolerance = normalInside({ ...production, lower, upper })
  const consumerRisk = acceptedBoth(Number.NEGATIVE_INFINITY, low) + acceptedBoth(high, Number.POSITIVE_INFINITY)
  const accepted = normalInside({
    mean,
    standardDeviation: Math.hypot(standardDeviation, standardUncertainty),
    ...acceptance,
  })
  return { inTolerance, accepted, consumerRisk, producerRisk: inTolerance - (accepted - consumerRisk) }
}

/** Where the chance of acceptance changes fast. */
const turns = (acceptance: ToleranceLimits, uncertainty: number, middle: number): number[] =>
  [acceptance.lower, acceptance.upper].flatMap((limit) =>
    limit === undefined ? [middle] : [limit - 8 * uncertainty, limit, limit + 8 * uncertainty, middle],
  )
