import type { HardPlan } from '../../model/hard-plan.ts'
import type { HardReason } from '../../model/hard-run.ts'
import type { HardAtSupply } from '../../model/hard-signature.ts'
import type { TestPlan } from '../../model/product.ts'
import type { Verdict } from '../../model/verdict.ts'
import { decideValue, guardBandDb, type PointDecision } from '../judge/judge-guard.ts'

/** What one supply is judged with. */
export interface HardContext {
  plan: Pick<TestPlan, 'confidence' | 'rigUncertaintyDb'>
  hard: HardPlan
  /** The board on the rig. */
  unit: HardAtSupply
  /** Mean of the reference's takes, and the takes themselves at this supply. */
  reference: HardAtSupply
  takes: readonly HardAtSupply[]
}

/** Spread from take to take that is taken for granted where there is only one, dB. */
export const unknownSpreadDb = 0.1

/** Decides a difference in dB against a limit to both sides, with the guard band of the given uncertainties. */
export function decideDifference(
  context: Pick<HardContext, 'plan'>,
  what: { differenceDb: number; upperDb: number; lowerDb: number; uncertaintiesDb: readonly number[] },
): PointDecision {
  const { plan } = context
  const guardDb = guardBandDb({
    confidence: plan.confidence,
    uncertaintiesDb: [plan.rigUncertaintyDb, ...what.uncertaintiesDb],
  })
  return decideValue({ valueDb: what.differenceDb, lowerDb: what.lowerDb, upperDb: what.upperDb, guardDb })
}

/** A reason in the house's form: the supply first, then what was found. */
export const hardReason = (
  context: Pick<HardContext, 'unit'>,
  code: HardReason['code'],
  verdict: Verdict,
  words: string,
): HardReason => ({
  code,
  verdict,
  supply: context.unit.name,
  message: `${context.unit.label}: ${words}${verdict === 'repeat' && code !== 'recording' ? '; too close to call, press again' : ''}.`,
})
