import type { ImportedRevision } from '@boardwright/core/workshop'
import { type CommandContext, print, printJson } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { withWorkshop } from '../open-workshop.ts'
import { readTextFile } from '../read-text-file.ts'
import { printTableReport, writeRefused } from '../text/table-report.ts'

export interface ProductTableOptions {
  path: string
  product?: string
  columns?: Record<string, string>
  save?: string
  refused?: string
  skipRefused?: boolean
  width?: number
  height?: number
}

/** `boardwright product parts FILE.csv` and `product placements FILE.csv`. Exit code 1 when a line was refused. */
export function productTable(context: CommandContext, kind: 'parts list' | 'placements', options: ProductTableOptions) {
  const { product: productId, columns, save: saveAs, skipRefused, width: boardWidthMm, height: boardHeightMm } = options
  const csv = readTextFile(options.path)
  return withWorkshop(context, {}, ({ builds }) => {
    const shared = { csv, productId, columns, saveAs, skipRefused }
    const made =
      kind === 'parts list'
        ? builds.importPartsList(shared)
        : builds.importPlacements({ ...shared, boardWidthMm, boardHeightMm })
    writeRefused(context, options.refused, made)
    if (context.json)
      printJson(context, { ...made, product: made.product && { id: made.product.id, revision: made.product.revision } })
    else {
      printTableReport(context, made)
      if (made.missing.length > 0)
        print(
          context,
          `The ${kind} says nothing of ${made.missing.slice(0, 12).join(', ')}${made.missing.length > 12 ? ' ...' : ''}.`,
        )
      print(context, outcomeWords(made, saveAs))
    }
    return made.refused.length > 0 ? exitCode.fail : exitCode.ok
  })
}

function outcomeWords({ product, refused, taken }: ImportedRevision, saveAs: string | undefined): string {
  if (product) return `${product.name} revision ${product.revision} has it; units started from now on are built to it.`
  if (saveAs === undefined) return 'Nothing is kept: --save REVISION keeps it.'
  const why =
    taken === 0 ? 'no line was taken' : `${refused.length} line${refused.length === 1 ? ' was' : 's were'} refused`
  return `Nothing is kept, because ${why}.`
}
