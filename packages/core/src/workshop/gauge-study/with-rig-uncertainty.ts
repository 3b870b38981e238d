import type { Product } from '../../model/product.ts'
import type { RigUncertainty } from '../../model/rig-uncertainty.ts'

/** The same object for the same product and figure: what is learnt of a product is kept by it. */
const made = new WeakMap<Product, Map<number, Product>>()

/** The product with the rig's uncertainty from a gauge study in its test plan; as it stands when there is none. */
export function withRigUncertainty(product: Product, uncertainty: RigUncertainty | null | undefined): Product {
  if (!uncertainty || uncertainty.rigUncertaintyDb === product.testPlan.rigUncertaintyDb) return product
  const { rigUncertaintyDb } = uncertainty
  const known = made.get(product) ?? new Map<number, Product>()
  made.set(product, known)
  const one = known.get(rigUncertaintyDb) ?? { ...product, testPlan: { ...product.testPlan, rigUncertaintyDb } }
  known.set(rigUncertaintyDb, one)
  return one
}
