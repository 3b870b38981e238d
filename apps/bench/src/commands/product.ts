import { Option } from 'commander'
import { collectBandPoint, parseFrequencies, parseNumber, parseWhole } from '../parse-option.ts'
import type { Declare } from './declare.ts'
import { declareProductTables } from './product-tables.ts'

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
  declareProductTables(product, attach)
  const band = product
    .command('band [id]')
    .summary('make the tolerance band: from part tolerances, by hand, or from units')
    .addOption(
      new Option('--from <basis>', 'part tolerances, or the last passed units').choices(['tolerance', 'units']),
    )
    .option('--yield <percent>', 'share of healthy boards wanted inside, from tolerances (99.5)', parseNumber)
    .option('--widen <db>', "room for the rig's own spread, from tolerances (0.1)", parseNumber)
    .option('--last <n>', 'how many of the last passed units (20)', parseWhole({ least: 5, most: 10_000 }))
    .option('--at <[setting:]hz=+up/-down>', 'breakpoint by hand, may be given often', collectBandPoint)
    .option('--bands <file>', 'bands by hand from a JSON file, in the form that --json prints')
    .option('--bend <hz,hz...>', 'where a band from tolerances or units may bend (octaves)', parseFrequencies)
    .option('--save <revision>', 'keep it, as this new revision of the product')
    .addHelpText(
      'after',
      `
A revision never changes: --save makes a new one, which units made from now on
are built to.

Examples:
  boardwright product band --from tolerance --yield 99
  boardwright product band --from units --last 30 --save B
  boardwright product band --at 20=+3/-3 --at 20000=+2/-2 --at min:20=+4/-3 \\
    --at min:20000=+2/-2 --save B`,
    )
  attach(band, async () => {
    const { productBand } = await import('../actions/product-band.ts')
    return (context, options: Omit<Parameters<typeof productBand>[1], 'id'> & { operand?: string }) =>
      productBand(context, { ...options, id: options.operand })
  })
}
