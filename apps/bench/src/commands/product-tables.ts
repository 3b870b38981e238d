import type { Command } from 'commander'
import type { ProductTableOptions } from '../actions/product-tables.ts'
import { collectColumn, parsePositive } from '../parse-option.ts'
import type { Attach } from './declare.ts'

type Parsed = Omit<ProductTableOptions, 'path' | 'columns'> & { operand?: string; column?: Record<string, string> }

const withTableOptions = (command: Command): Command =>
  command
    .option('--product <id>', 'which product, where there are several')
    .option('--column <field=heading>', 'which heading is which field; may be given often', collectColumn)
    .option('--save <revision>', 'keep it, as this new revision of the product')
    .option('--skip-refused', 'keep it without the refused lines')
    .option('--refused <file>', 'write the refused lines there')

/** Parts list and placements of a product, from CSV files. */
export function declareProductTables(product: Command, attach: Attach) {
  const parts = withTableOptions(
    product.command('parts <file>').summary('read the parts list from a CSV file'),
  ).addHelpText(
    'after',
    `
Fields: designator (one, or several as "R1, R2" or R1-R4), part, alternatives,
pieces, extra (yes: not in the circuit, such as the bare board).
Without --save it only reports. Exit codes: 0 all lines taken, 1 some refused.

Example:
  boardwright product parts plover.csv --column part=MPN --save B`,
  )
  attach(parts, async () => {
    const { productTable } = await import('../actions/product-tables.ts')
    return (context, { operand, column, ...options }: Parsed) =>
      productTable(context, 'parts list', { ...options, columns: column, path: operand ?? '' })
  })
  const placements = withTableOptions(
    product.command('placements <file>').summary('read where the parts sit from a CSV file'),
  )
    .option('--width <mm>', 'width of the board, when it is new', parsePositive)
    .option('--height <mm>', 'height of the board, when it is new', parsePositive)
    .addHelpText(
      'after',
      `
Fields: designator, x, y, rotation, side, body, group; millimetres from the
lower left corner, seen from the top (or 1.2in, 500mil). Pads move along.
Without --save it only reports. Exit codes: 0 all lines taken, 1 some refused.`,
    )
  attach(placements, async () => {
    const { productTable } = await import('../actions/product-tables.ts')
    return (context, { operand, column, ...options }: Parsed) =>
      productTable(context, 'placements', { ...options, columns: column, path: operand ?? '' })
  })
}
