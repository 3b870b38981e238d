import { formatDb } from '../../model/format.ts'
import type { TestPlan, ToleranceBand } from '../../model/product.ts'
import type { ReferenceSetting } from '../../model/reference.ts'
import type { ResponseCurve } from '../../model/response-curve.ts'
import type { Reason, SettingJudgement } from '../../model/verdict.ts'
import { curveOnGrid, mustBeCertain } from '../curve/curve-on-grid.ts'
import { decideValue, gravest, guardBandDb, type PointDecision } from './judge-guard.ts'
import { judgeReason, stretchReason } from './judge-reasons.ts'
import { findStretches } from './judge-stretches.ts'
import { atSetting, rangeWords } from './judge-words.ts'
import { bandIsCovered, bandLimits } from './tolerance-band.ts'

/** What a judge of one subject gives back: its part of the judgement, and the reasons in words. */
export interface CurveJudgement {
  judgement: SettingJudgement
  reasons: Reason[]
}

/**
 * Judges one curve against the reference's by the band of its setting. The arrays of the judgement stand on those points
 * of the curve's grid that the band judges and that the reference reaches.
 *
 * The level difference is the mean of the deviation over these points (they are equally spaced in octaves), weighted by
 * the inverse of the squared combined uncertainty; `aligned` bands judge what is left after it. The guard band stays
 * that of the point itself: the level difference averages hundreds of points and adds next to nothing.
 *
 * A point whose own uncertainty exceeds the plan's wanted one neither passes nor fails, unless it lies deep in a
 * stop-band (more than 40 dB under the curve's greatest gain), where the guard band alone decides.
 */
export function judgeCurve(options: {
  plan: Pick<TestPlan, 'confidence' | 'rigUncertaintyDb' | 'wantedUncertaintyDb'>
  band: ToleranceBand
  reference: ReferenceSetting
  curve: ResponseCurve
}): CurveJudgement {
  const { plan, band, curve } = options
  const compared = compareCurves(options)
  const judged = band.compare === 'aligned' ? compared.alignedDeviationDb : compared.deviationDb
  const decisions: PointDecision[] = judged.map((valueDb, i) => {
    const decision = decideValue({
      valueDb,
      lowerDb: compared.lowerDb[i],
      upperDb: compared.upperDb[i],
      guardDb: compared.guardDb[i],
    })
    // It has a reason of its own, and belongs to no stretch.
    return compared.uncertain[i] ? { ...decision, verdict: 'pass' } : decision
  })
  const stretches = findStretches({ setting: band.setting, ...compared, deviationDb: judged, decisions })
  const reasons = uncertaintyReasons({ setting: band.setting, plan, ...compared })
  // Where nothing can be decided, every point is a close call, and one sentence says so.
  const undecidable = reasons.some((reason) => reason.code === 'near-limit')
  const told = stretches.filter((stretch) => stretch.verdict === 'fail' || !undecidable)
  reasons.push(...told.map((stretch) => stretchReason(stretch, band.compare)))
  if (!bandIsCovered({ band, frequencyHz: compared.frequencyHz })) reasons.push(notCovered(band, curve))
  const { uncertain: _, ...arrays } = compared
  return {
    judgement: { setting: band.setting, verdict: gravest(reasons.map((r) => r.verdict)), ...arrays, stretches },
    reasons,
  }
}

/** Deviation, limits and guard band on the judged points. */
function compareCurves(options: Parameters<typeof judgeCurve>[0]) {
  const { plan, band, curve, reference } = options
  const ofReference = curveOnGrid({ curve: reference.curve, frequencyHz: curve.frequencyHz })
  const counts = mustBeCertain(curve.gainDb)
  const limits = bandLimits({ band, frequencyHz: curve.frequencyHz })
  const kept = limits.index.map((_, i) => i).filter((i) => Number.isFinite(ofReference.gainDb[limits.index[i]]))
  const pick = (values: readonly number[]) => kept.map((i) => values[i])
  const index = pick(limits.index)
  const deviationDb = index.map((i) => curve.gainDb[i] - ofReference.gainDb[i])
  const uncertaintyDb = index.map((i) =>
    Math.hypot(curve.uncertaintyDb[i], ofReference.uncertaintyDb[i], plan.rigUncertaintyDb),
  )
  const guardOfOne = guardBandDb({ confidence: plan.confidence, uncertaintiesDb: [1] })
  const levelDifferenceDb = weightedMean(deviationDb, uncertaintyDb)
  return {
    frequencyHz: pick(limits.frequencyHz),
    upperDb: pick(limits.upperDb),
    lowerDb: pick(limits.lowerDb),
    deviationDb,
    alignedDeviationDb: deviationDb.map((d) => d - levelDifferenceDb),
    levelDifferenceDb,
    guardDb: uncertaintyDb.map((u) => guardOfOne * u),
    uncertain: index.map((i) => counts[i] && curve.uncertaintyDb[i] > plan.wantedUncertaintyDb),
  }
}

/** Mean weighted by the inverse squared uncertainty; the plain mean where an uncertainty is zero. 0 for no values. */
export function weightedMean(values: readonly number[], uncertainties: readonly number[]): number {
  const certain = uncertainties.some((u) => u === 0)
  let sum = 0
  let weights = 0
  values.forEach((value, i) => {
    const weight = certain ? 1 : 1 / uncertainties[i] ** 2
    sum += weight * value
    weights += weight
  })
  return weights > 0 ? sum / weights : 0
}

/** Says where the measurement was too uncertain to decide, and where its guard band can never let it decide. */
function uncertaintyReasons(
  points: ReturnType<typeof compareCurves> & { setting: string; plan: Pick<TestPlan, 'wantedUncertaintyDb'> },
): Reason[] {
  const { setting, frequencyHz } = points
  const span = (flags: boolean[]) => {
    const hit = flags.flatMap((flag, i) => (flag ? [frequencyHz[i]] : []))
    return hit.length > 0 ? rangeWords(hit[0], hit[hit.length - 1]) : undefined
  }
  const reasons: Reason[] = []
  const uncertain = span(points.uncertain)
  if (uncertain)
    reasons.push(
      judgeReason('recording', 'repeat', setting, [
        `${atSetting(setting)} the measurement is less certain than the wanted ${points.plan.wantedUncertaintyDb} dB`,
        `${uncertain}: play the sweep louder, longer or more often`,
      ]),
    )
  const never = frequencyHz.map((_, i) => 2 * points.guardDb[i] > points.upperDb[i] - points.lowerDb[i])
  const neverRange = span(never)
  if (neverRange) {
    const widest = points.guardDb.reduce((a, g, i) => (never[i] && g > a ? g : a), 0)
    reasons.push(
      judgeReason('near-limit', 'repeat', setting, [
        `${atSetting(setting)} no measurement this uncertain can pass ${neverRange}: its guard band of`,
        `${formatDb(widest, { digits: 2 })} is as wide as the tolerance; use a longer sweep, more repeats or a wider band`,
      ]),
    )
  }
  return reasons
}

function notCovered(band: ToleranceBand, curve: ResponseCurve): Reason {
  const first = band.breakpoints[0].frequencyHz
  const last = band.breakpoints[band.breakpoints.length - 1].frequencyHz
  const { frequencyHz } = curve
  const reach =
    frequencyHz.length > 0 ? rangeWords(frequencyHz[0], frequencyHz[frequencyHz.length - 1]) : 'nowhere at all'
  return judgeReason('recording', 'repeat', band.setting, [
    `${atSetting(band.setting)} the band goes ${rangeWords(first, last)}, but the curve reaches ${reach}`,
    '(or the reference less): use a sweep that covers the band',
  ])
}
