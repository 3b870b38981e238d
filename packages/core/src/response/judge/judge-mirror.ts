import { formatDb, formatHz } from '../../model/format.ts'
import type { TestPlan } from '../../model/product.ts'
import type { ResponseCurve } from '../../model/response-curve.ts'
import type { MirrorJudgement, Reason } from '../../model/verdict.ts'
import { curveOnGrid } from '../curve/curve-on-grid.ts'
import { decideValue, gravest, guardBandDb } from './judge-guard.ts'
import { judgeReason } from './judge-reasons.ts'
import { weightedMean } from './judge-setting.ts'

/** What the mirror check gives: its part of the judgement, and the reason when it does not pass. */
export interface MirrorResult {
  judgement: MirrorJudgement
  reason?: Reason
}

/**
 * "The minimum curve is the inverse of the maximum" (common practice, no source): in dB, max + min - 2 x centre is flat
 * for a symmetrical tone control. Flat means: within the limit of its own mean, so that a level difference between this
 * board and the board that the centre curve is from does not count. `productDb` has that mean taken out.
 * The rig's uncertainty counts once for each of max and min and twice for the centre.
 * @param options.frequencyHz points to judge, Hz: those that both bands judge
 */
export function judgeMirror(options: {
  plan: Pick<TestPlan, 'confidence' | 'rigUncertaintyDb'>
  limitDb: number
  frequencyHz: readonly number[]
  max: ResponseCurve
  min: ResponseCurve
  centre: ResponseCurve
}): MirrorResult {
  const { plan, limitDb } = options
  const [max, min, centre] = [options.max, options.min, options.centre].map((curve) =>
    curveOnGrid({ curve, frequencyHz: options.frequencyHz }),
  )
  const product = options.frequencyHz.map((_, i) => max.gainDb[i] + min.gainDb[i] - 2 * centre.gainDb[i])
  const kept = product.flatMap((p, i) => (Number.isFinite(p) ? [i] : []))
  const rig = plan.rigUncertaintyDb
  const uncertainty = kept.map((i) =>
    Math.hypot(max.uncertaintyDb[i], min.uncertaintyDb[i], 2 * centre.uncertaintyDb[i], rig, rig, 2 * rig),
  )
  const raw = kept.map((i) => product[i])
  const mean = weightedMean(raw, uncertainty)
  const productDb = raw.map((p) => p - mean)
  const frequencyHz = kept.map((i) => options.frequencyHz[i])
  const guardOfOne = guardBandDb({ confidence: plan.confidence, uncertaintiesDb: [1] })
  const decisions = productDb.map((valueDb, i) => {
    const guardDb = guardOfOne * uncertainty[i]
    return { guardDb, ...decideValue({ valueDb, lowerDb: -limitDb, upperDb: limitDb, guardDb }) }
  })
  const verdict = decisions.length === 0 ? 'repeat' : gravest(decisions.map((d) => d.verdict))
  let worst = 0
  decisions.forEach((d, i) => {
    if (d.excessDb > decisions[worst].excessDb) worst = i
  })
  const judgement: MirrorJudgement = {
    verdict,
    frequencyHz,
    productDb,
    worstDb: productDb[worst] ?? 0,
    worstHz: frequencyHz[worst] ?? 0,
    limitDb,
  }
  if (verdict === 'pass') return { judgement }
  return { judgement, reason: mirrorReason(judgement, decisions[worst]?.guardDb) }
}

function mirrorReason(judgement: MirrorJudgement, guardDb: number | undefined): Reason {
  const { verdict, worstDb, worstHz, limitDb } = judgement
  if (guardDb === undefined)
    return judgeReason('mirror', 'repeat', undefined, [
      'The mirror of maximum and minimum cannot be judged: the three curves have no frequency in common',
    ])
  const found = `${formatDb(worstDb, { digits: 2, signed: true })} at ${formatHz(worstHz)} (limit ${formatDb(limitDb, { digits: 2 })}`
  return verdict === 'fail'
    ? judgeReason('mirror', 'fail', undefined, [`Minimum is not the mirror of maximum: off by ${found})`])
    : judgeReason('mirror', 'repeat', undefined, [
        `Whether minimum is the mirror of maximum is too close to call: ${found}, known within ${formatDb(guardDb, { digits: 2 })})`,
      ])
}
