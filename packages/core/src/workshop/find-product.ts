import { BoardwrightError } from '../model/error.ts'
import type { Product } from '../model/product.ts'
import type { VerbContext } from './verb-context.ts'

/**
 * The product with this id, or the only one there is; its newest revision unless told.
 * Errors: not-found, also when there are several products and none was named.
 */
export function findProduct({ store }: Pick<VerbContext, 'store'>, id?: string, revision?: string): Product {
  if (id !== undefined) {
    const product = store.products.find({ id, revision })
    if (product) return product
    const which = revision === undefined ? `"${id}"` : `"${id}" of revision "${revision}"`
    throw new BoardwrightError('not-found', `There is no product ${which} in this workshop.`)
  }
  const [only, ...others] = store.products.list()
  if (!only)
    throw new BoardwrightError('not-found', 'There is no product in this workshop yet.', {
      remedy: 'Add the product first.',
    })
  if (others.length > 0) {
    const names = [only, ...others].map((product) => product.id).join(', ')
    throw new BoardwrightError('not-found', `There are several products, so name one: ${names}.`)
  }
  return revision === undefined ? only : findProduct({ store }, only.id, revision)
}
