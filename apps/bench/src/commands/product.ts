import type { Declare } from './declare.ts'

export const declareProduct: Declare = (program, attach) => {
  const product = program.command('product').summary('products that are made')
  attach(
    product.command('list').summary('products at their newest revision'),
    async () => (await import('../actions/product.ts')).productList,
  )
  const show = product
    .command('show [id]')
    .summary('one product: controls, settings, test plan')
    .option('--revision <revision>', 'an older revision')
  attach(show, async () => {
    const { productShow } = await import('../actions/product.ts')
    return (context, options: { operand?: string; revision?: string }) =>
      productShow(context, { id: options.operand, revision: options.revision })
  })
  const add = product
    .command('add <file>')
    .summary('load a product file (JSON); a changed product needs a new revision')
  attach(add, async () => {
    const { productAdd } = await import('../actions/product.ts')
    return (context, options: { operand?: string }) => productAdd(context, { path: options.operand ?? '' })
  })
}
