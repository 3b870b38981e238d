import type { Product } from '../model/product.ts'
import type { Reference } from '../model/reference.ts'
import { canonicalJson } from '../response/judge/plan-hash.ts'
import type { VerbContext } from './verb-context.ts'

/** What makes two revisions answer alike: a changed band or label needs no new reference, a changed circuit does. */
const electricalContent = ({ circuit, controls, settings }: Product): string =>
  canonicalJson({ circuit, controls, settings })

/** The version that a unit of this product revision is judged by: the newest made for an electrically equal revision. */
export function currentReference({ store }: Pick<VerbContext, 'store'>, product: Product): Reference | undefined {
  const content = electricalContent(product)
  const revisions = store.products
    .revisions(product.id)
    .filter((other) => electricalContent(other) === content)
    .map((other) => other.revision)
  return store.references.newest({ productId: product.id, revisions })
}
