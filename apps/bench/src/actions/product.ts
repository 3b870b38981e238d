import { formatHz, parseProduct } from '@boardwright/core'
import { type CommandContext, print, printJson } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { withWorkshop } from '../open-workshop.ts'
import { readTextFile } from '../read-text-file.ts'
import { textTable } from '../text/table.ts'

/** `boardwright product list`. */
export function productList(context: CommandContext) {
  return withWorkshop(context, {}, (workshop) => {
    const products = workshop.products()
    if (context.json)
      printJson(context, {
        products: products.map(({ id, name, maker, revision, revisionDate }) => ({
          id,
          name,
          maker,
          revision,
          revisionDate,
        })),
      })
    else
      print(
        context,
        textTable(products.map((one) => [one.id, one.name, `revision ${one.revision}`, one.revisionDate, one.maker])),
      )
    return exitCode.ok
  })
}

/** `boardwright product show [ID]`. */
export function productShow(context: CommandContext, options: { id?: string; revision?: string }) {
  return withWorkshop(context, {}, (workshop) => {
    const product = workshop.product(options.id, options.revision)
    if (context.json) {
      printJson(context, product)
      return exitCode.ok
    }
    const { testPlan } = product
    print(context, `${product.name} revision ${product.revision} (${product.revisionDate}), ${product.maker}`)
    print(context, `Controls: ${product.controls.map(({ label, taper }) => `${label} (${taper})`).join(', ')}`)
    print(context, 'Settings:')
    for (const setting of product.settings) {
      const place = testPlan.settings.indexOf(setting.name)
      print(context, `  ${setting.name}: ${setting.label}${place < 0 ? '' : `, measured as number ${place + 1}`}`)
    }
    print(context, 'Tolerance against the reference:')
    for (const band of testPlan.bands)
      for (const { frequencyHz, upperDb, lowerDb } of band.breakpoints)
        print(context, `  ${band.setting}, ${formatHz(frequencyHz)}: +${upperDb} / ${lowerDb} dB`)
    return exitCode.ok
  })
}

/** `boardwright product add FILE`. */
export function productAdd(context: CommandContext, options: { path: string }) {
  const product = parseProduct(readTextFile(options.path), { source: options.path })
  return withWorkshop(context, { create: true }, (workshop) => {
    const added = workshop.addProduct(product)
    if (context.json) printJson(context, { id: added.id, revision: added.revision })
    else print(context, `${added.name} revision ${added.revision} is loaded; units made from now on are built to it.`)
    return exitCode.ok
  })
}
