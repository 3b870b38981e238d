import type { Product } from '../model/product.ts'
import { rigKinds } from '../model/rig-check.ts'
import { withRigUncertainty } from './gauge-study/with-rig-uncertainty.ts'
import { healthyBoards } from './healthy-boards.ts'
import type { VerbContext } from './verb-context.ts'

/**
 * Learns what healthy boards look like, as the judge of each rig will want to know it: a rig with a gauge study of its own is
 * judged by another uncertainty. What is learnt already costs nothing. Errors: bad-circuit, bad-quantity.
 */
export function learnHealthyBoards({ store }: Pick<VerbContext, 'store'>, product: Product): void {
  if (!product.testPlan.shape) return
  healthyBoards(product)
  for (const rig of rigKinds) {
    const uncertainty = store.rigUncertainties.inForce({ productId: product.id, rig })
    if (uncertainty) healthyBoards(withRigUncertainty(product, uncertainty))
  }
}
