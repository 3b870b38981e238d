import type { HardReference } from '../../model/hard-run.ts'
import type { Product } from '../../model/product.ts'
import { canonicalJson } from '../../response/judge/plan-hash.ts'
import type { VerbContext } from '../verb-context.ts'

/** What makes two revisions behave alike when they are pressed: the circuit, and what they are pressed with. */
function pressedContent({ circuit, controls, settings, testPlan }: Product): string {
  const { hard, levelV, stimulus } = testPlan
  if (!hard) return ''
  const { setting, sweep, tonesHz, ladder, supplies } = hard
  const { rateHz: _, ...level } = stimulus
  return canonicalJson({ circuit, controls, settings, setting, sweep, tonesHz, ladder, supplies, levelV, level })
}

/** The newest signature made for this product revision, or for one that is pressed alike. */
export function currentHardReference(
  { store }: Pick<VerbContext, 'store'>,
  product: Product,
): HardReference | undefined {
  const content = pressedContent(product)
  const alike = new Set(
    store.products
      .revisions(product.id)
      .filter((other) => pressedContent(other) === content)
      .map((other) => other.revision),
  )
  return store.hardReferences.list(product.id).find((reference) => alike.has(reference.revision))
}
