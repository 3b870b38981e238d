import { type Product, parseProduct } from '@boardwright/core'
import text from '../../../shared/products/plover.json' with { type: 'json' }

/** The demo product that every new workshop starts with, from shared/products/plover.json. */
export const loadPlover = (): Product => parseProduct(JSON.stringify(text), { source: 'shared/products/plover.json' })
