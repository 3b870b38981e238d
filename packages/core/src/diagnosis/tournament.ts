import { type Candidate, pickCandidates } from './candidates.ts'
import { coarseReading, type EvidenceCase, makeCase, referenceBoard } from './evidence-case.ts'
import { emptyFit, type Fit, improve, refresh, settle, startFit } from './fit.ts'
import { predictWithSlopes } from './predict.ts'
import type { PreparedHypothesis } from './prepare-hypothesis.ts'

/** A hypothesis still in the running, with the others that predict the same. */
export type Contender = { fit: Fit; aliases: PreparedHypothesis[] }

/** How many hypotheses each round lets through. */
const rounds = { looked: 80, coarse: 40, settled: 14, better: 18, fine: 12, last: 6 }
/** Evidence this far below the best is out of every round, ln. */
const hopeless = 60
/** Evidence this near to the best stays in whatever its rank, ln: to drop one of many equals would be false certainty. */
const close = 6
const mostClose = 40

/**
 * Fits the hypotheses in rounds: a wide look at all, a coarse fit of those near, a fine fit of the best, until the leading ones
 * have settled. Best first.
 *
 * @param options `one`: the readings; `hypotheses`: all of them, the healthy one first
 */
export const runTournament = (options: {
  one: EvidenceCase
  hypotheses: readonly PreparedHypothesis[]
}): Contender[] => {
  const { one, hypotheses } = options
  if (one.readings.length === 0) return hypotheses.map((p) => ({ fit: emptyFit(one, p), aliases: [] }))
  const thinned = one.readings.map(coarseReading)
  const coarse = makeCase({
    readings: thinned,
    latentCount: one.layout.latents,
    rig: one.rig,
    reference: one.reference && referenceBoard(hypotheses[0], thinned),
  })
  const zero = { latents: new Float64Array(one.layout.latents), free: 0 }
  const healthy = coarse.readings.map(({ tap }) => predictWithSlopes(hypotheses[0], zero, tap))
  const candidates = pickCandidates({ one: coarse, hypotheses, healthy, most: rounds.looked })
  const first = candidates.map(({ prepared, free, aliases }: Candidate) => ({
    fit: improve(coarse, startFit(coarse, prepared, { free }), 2),
    aliases,
  }))
  const nearer = best(first, rounds.coarse, Number.POSITIVE_INFINITY).map(({ fit, aliases }) => ({
    fit: improve(coarse, fit, 2),
    aliases,
  }))
  // A fault far from its first size, or far out tolerances, need more than the slopes at the start.
  const closer = best(nearer, rounds.coarse, Number.POSITIVE_INFINITY).map((contender, rank) =>
    rank < rounds.settled && contender.fit.cost > coarse.rows
      ? { ...contender, fit: settle(coarse, contender.fit, 3) }
      : contender,
  )
  const second = best(closer, rounds.better, 1.5 * hopeless).map(({ fit, aliases }) => ({
    fit: improve(one, startFit(one, fit.prepared, fit.z), 2),
    aliases,
  }))
  const third = again(one, best(second, rounds.fine, hopeless), 2)
  const last = again(one, best(third, rounds.last, hopeless), 3)
  return best(
    [...last, ...third.filter((c) => !last.some((l) => l.fit.prepared === c.fit.prepared))],
    rounds.fine,
    hopeless,
  )
}

const best = (contenders: Contender[], count: number, within: number): Contender[] => {
  const sorted = [...contenders].sort((a, b) => b.fit.logEvidence - a.fit.logEvidence)
  const top = sorted[0]?.fit.logEvidence ?? 0
  // The healthy board stays in to the end: without it the least fault would seem certain.
  const among = (rank: number, below: number) => rank < count || (rank < mostClose && below < close)
  return sorted.filter((c, rank) => {
    const below = top - c.fit.logEvidence
    return isHealthy(c) || (below < within && among(rank, below))
  })
}

const isHealthy = ({ fit, aliases }: Contender): boolean =>
  [fit.prepared, ...aliases].some((p) => p.hypothesis.kind === 'healthy')

const again = (one: EvidenceCase, contenders: Contender[], steps: number): Contender[] =>
  contenders.map(({ fit, aliases }) => {
    const next = improve(one, refresh(one, fit), steps)
    // The slopes of where it now stands give the evidence.
    return { fit: next, aliases }
  })
