import { formatDb } from '../../model/format.ts'
import type { TestPlan } from '../../model/product.ts'
import type { ReferenceSetting } from '../../model/reference.ts'
import type { ResponseCurve } from '../../model/response-curve.ts'
import type { Reason } from '../../model/verdict.ts'
import { curveOnGrid } from '../curve/curve-on-grid.ts'
import { decideValue, guardBandDb } from './judge-guard.ts'
import { judgeReason } from './judge-reasons.ts'
import { atSetting, decimalsToTell } from './judge-words.ts'

/**
 * Judges the gain at 1 kHz against the reference's, with the guard band of the curves' uncertainty there.
 * @returns the reason for `fail` or `repeat`; nothing when the gain is surely within the plan's tolerance
 */
export function judgeGain(options: {
  plan: Pick<TestPlan, 'confidence' | 'rigUncertaintyDb' | 'gainToleranceDb'>
  reference: ReferenceSetting
  curve: ResponseCurve
  gainAt1kHzDb: number
}): Reason | undefined {
  const { plan, reference, curve } = options
  const uncertaintyAt = (c: ResponseCurve) => curveOnGrid({ curve: c, frequencyHz: [1000] }).uncertaintyDb[0]
  const guardDb = guardBandDb({
    confidence: plan.confidence,
    uncertaintiesDb: [uncertaintyAt(curve), uncertaintyAt(reference.curve), plan.rigUncertaintyDb],
  })
  const differenceDb = options.gainAt1kHzDb - reference.gainAt1kHzDb
  const limitDb = plan.gainToleranceDb
  const { verdict, kind } = decideValue({ valueDb: differenceDb, lowerDb: -limitDb, upperDb: limitDb, guardDb })
  if (verdict === 'pass') return undefined
  const at = atSetting(reference.setting)
  const direction = kind === 'above' ? 'higher' : 'lower'
  const decimals = decimalsToTell(differenceDb, limitDb)
  const amount = `${formatDb(Math.abs(differenceDb), { digits: decimals })} ${direction} than the reference's`
  return verdict === 'fail'
    ? judgeReason('gain', 'fail', reference.setting, [
        `${at} the gain at 1 kHz is ${amount} (limit ${formatDb(limitDb, { digits: decimals })})`,
      ])
    : judgeReason('gain', 'repeat', reference.setting, [
        `${at} the gain at 1 kHz is too close to call: ${amount}`,
        `(limit ${formatDb(limitDb, { digits: decimals })}, known within ${formatDb(guardDb, { digits: 2 })})`,
      ])
}
