import { chiSquareQuantile } from '../statistics/chi-square.ts'
import type { EvidenceCase } from './evidence-case.ts'
import type { Fit } from './fit.ts'
import type { PreparedHypothesis } from './prepare-hypothesis.ts'
import type { Contender } from './tournament.ts'

/** A hypothesis with its probability after the measurement. */
export type Weighed = { prepared: PreparedHypothesis; fit: Fit; probability: number }

/** Probabilities of the hypotheses that are left, most probable first, and of none of them. */
export type Posterior = { weighed: Weighed[]; none: number; chiSquare: number; numbers: number }

/**
 * "None of these" explains any curve, but no better than a true explanation fits in one case of so many. A hypothesis that
 * fits worse than that loses to it. Found by trial on drawn boards; see the report of `npm run bench:diagnosis`.
 */
const noneTail = 0.05
/** Against a reference the twin's own errors are gone only as far as they do not depend on the fault: so much more is let pass. */
const besideFactor = 1.1

/** A hypothesis further below the leading one than this stays out whatever its noise and distortion say, ln. */
const worthAsking = 60

/**
 * Turns evidence into probabilities.
 *
 * @param options `extra`: ln of the probability of what else is known (voltages typed in, current, noise) under a hypothesis;
 *   `costly`: the same for what takes long to foretell; `extraOfNone`: the same under none of them
 */
export const posteriorOf = (options: {
  one: EvidenceCase
  contenders: readonly Contender[]
  none: number
  extra?: (fit: Fit, prepared: PreparedHypothesis) => number
  costly?: (prepared: PreparedHypothesis) => number
  extraOfNone?: number
}): Posterior => {
  const { one, contenders, none, extra = () => 0, costly = () => 0, extraOfNone = 0 } = options
  const entries = contenders.flatMap(({ fit, aliases }) =>
    [fit.prepared, ...aliases].map((prepared) => ({
      prepared,
      fit,
      log: fit.logEvidence + Math.log(prepared.hypothesis.weight) + extra(fit, prepared),
    })),
  )
  const leading = entries.reduce((most, e) => Math.max(most, e.log), Number.NEGATIVE_INFINITY)
  for (const entry of entries) if (entry.log > leading - worthAsking) entry.log += costly(entry.prepared)
  const best = contenders[0]
  const numbers = one.rows
  const chiSquare = best ? 2 * best.fit.cost : 0
  const noneFit = best
    ? -(one.reference ? besideFactor : 1) * noneCost(numbers) - 0.5 * best.fit.linear.logDeterminant
    : 0
  const noneLog = Math.log(none) + noneFit + extraOfNone
  const top = entries.reduce((most, e) => Math.max(most, e.log), noneLog)
  const total = entries.reduce((sum, e) => sum + Math.exp(e.log - top), Math.exp(noneLog - top))
  const weighed = entries
    .map(({ prepared, fit, log }) => ({ prepared, fit, probability: Math.exp(log - top) / total }))
    .sort((a, b) => b.probability - a.probability)
  return { weighed, none: Math.exp(noneLog - top) / total, chiSquare, numbers }
}

const noneCosts = new Map<number, number>()

const noneCost = (numbers: number): number => {
  const found = noneCosts.get(numbers)
  if (found !== undefined) return found
  const made =
    numbers > 0 ? chiSquareQuantile({ probability: noneTail, degreesOfFreedom: numbers, tail: 'upper' }) / 2 : 0
  noneCosts.set(numbers, made)
  return made
}
