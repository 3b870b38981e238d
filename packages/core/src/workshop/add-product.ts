import { prepareCircuit } from '../circuit/prepare-circuit.ts'
import { BoardwrightError } from '../model/error.ts'
import { Product } from '../model/product.ts'
import { canonicalJson } from '../response/judge/plan-hash.ts'
import { nowOf, type VerbContext, writeJournal } from './verb-context.ts'

/**
 * Takes a product, or a new revision of one, into the workshop. A revision never changes: units and verdicts stand on it.
 * The same content again changes nothing.
 * Errors: bad-circuit, bad-product, bad-quantity, revision-frozen.
 */
export function addProduct(context: VerbContext, given: Product): Product {
  const parsed = Product.safeParse(given)
  if (!parsed.success) {
    const [issue] = parsed.error.issues
    throw new BoardwrightError('bad-product', `The product is not right at ${issue.path.join('.')}: ${issue.message}.`)
  }
  const product = parsed.data
  // A circuit that cannot be solved must not first show when a unit is on the rig.
  if (product.testPlan.shape) prepareCircuit(product.circuit)
  return context.store.transaction(() => {
    const known = context.store.products.find({ id: product.id, revision: product.revision })
    if (known) {
      if (canonicalJson(known) === canonicalJson(product)) return known
      throw new BoardwrightError(
        'revision-frozen',
        `${product.name} revision ${product.revision} is in this workshop with other content.`,
      )
    }
    const at = nowOf(context)
    context.store.products.insert({ product, at })
    const detail = { revision: product.revision, name: product.name }
    writeJournal(context, { at, verb: 'add-product', noun: 'product', key: product.id, detail })
    return product
  })
}
