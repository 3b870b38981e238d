import { readFileSync } from 'node:fs'
import { parseProduct } from '../../src/model/parse-product.ts'

/** The demo product, from the file that the programs read. */
export const plover = parseProduct(
  readFileSync(new URL('../../../../shared/products/plover.json', import.meta.url), 'utf8'),
)
