import type { HardJudgement, HardReference } from '../../model/hard-run.ts'
import type { HardSignature } from '../../model/hard-signature.ts'
import type { Product } from '../../model/product.ts'
import { judgeHard } from '../../response/hard/judge-hard.ts'
import { canonicalJson, fnv1a64 } from '../../response/judge/plan-hash.ts'
import { planWithHard } from './hard-plan-of.ts'

/** Raised whenever the rules of the judge change. */
const hardRulesVersion = 1

interface ToJudge {
  product: Product
  reference: HardReference
  signature: HardSignature
}

/** Compares a signature with the reference's by the product's own band. Errors: no-hard-plan. */
export function judgeHardRun({ product, reference, signature }: ToJudge): HardJudgement {
  const plan = planWithHard(product)
  return judgeHard({ plan, hard: plan.hard, takes: reference.takes, signature })
}

/** Names the rules of a verdict: the plan, the version of the reference and the judge's own. 16 hexadecimal digits. */
export function hardPlanHash({ product, reference }: Omit<ToJudge, 'signature'>): string {
  const { hard, confidence, rigUncertaintyDb } = planWithHard(product)
  const { productId, version } = reference
  return fnv1a64(canonicalJson({ hard, confidence, rigUncertaintyDb, productId, version, rules: hardRulesVersion }))
}
