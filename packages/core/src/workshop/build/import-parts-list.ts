import { PartsListEntry, placesOf, unlistedPlaces } from '../../model/parts-list.ts'
import { findProduct } from '../find-product.ts'
import { takeLines } from '../table/import-report.ts'
import { CellError, readCount, readYes } from '../table/read-cell.ts'
import { readTable, type TableField, type TableLine } from '../table/read-table.ts'
import type { VerbContext } from '../verb-context.ts'
import type { ImportedRevision, ImportRevision } from './build-verbs.ts'
import { saveRevision } from './save-revision.ts'
import { splitDesignators } from './split-designators.ts'

const fields: readonly TableField[] = [
  {
    name: 'designator',
    headings: ['designator', 'designators', 'reference', 'references', 'ref', 'refs'],
    required: true,
  },
  { name: 'part', headings: ['part', 'part number', 'manufacturer part number', 'mpn', 'number'], required: true },
  { name: 'alternatives', headings: ['alternatives', 'alternative', 'alternative parts', 'stand in'] },
  { name: 'pieces', headings: ['pieces', 'pieces each'] },
  { name: 'extra', headings: ['extra', 'not in the circuit'] },
]

/**
 * Reads a parts list: a line for each place, or for several places that take the same part ("R1, R2" or "R1-R4").
 * It becomes the parts list of a new revision; nothing is kept while a line is refused.
 * Errors: bad-argument, bad-product, column-missing, not-found, revision-frozen.
 */
export function importPartsList(context: VerbContext, what: ImportRevision): ImportedRevision {
  const product = findProduct(context, what.productId)
  const table = readTable({ text: what.csv, fields, columns: what.columns })
  const places = new Set(placesOf(product))
  const entries = new Map<string, { entry: PartsListEntry; line: number }>()
  const report = takeLines(table, (line) => {
    const made = readEntries(line)
    for (const { designator, extra } of made) {
      const before = entries.get(designator)
      if (before) throw new CellError('designator', `${designator} is on line ${before.line} already.`)
      if (extra && places.has(designator))
        throw new CellError('extra', `${designator} is in the circuit, so it is no extra.`)
      if (!extra && !places.has(designator))
        throw new CellError(
          'designator',
          `The board has no place "${designator}"; mark what is not in the circuit as extra.`,
        )
    }
    for (const entry of made) entries.set(entry.designator, { entry, line: line.line })
  })
  const partsList = [...entries.values()].map(({ entry }) => entry)
  const changed = { ...product, partsList }
  return saveRevision(context, { wanted: what, report, changed, missing: unlistedPlaces(changed) })
}

function readEntries({ cells }: TableLine): PartsListEntry[] {
  const { designator, part, alternatives = '', pieces, extra } = cells
  if (designator === undefined) throw new CellError('designator', 'The designator is missing.')
  if (part === undefined) throw new CellError('part', 'The part number is missing.')
  const shared = {
    part,
    alternatives: alternatives
      .split(/[,;|]/)
      .map((one) => one.trim())
      .filter(Boolean),
    pieces: pieces === undefined ? undefined : readCount('pieces', pieces),
    extra: extra === undefined ? undefined : readYes('extra', extra),
  }
  const names = splitDesignators(designator)
  if (new Set(names).size < names.length) throw new CellError('designator', 'A designator is there twice.')
  return names.map((name) => {
    const parsed = PartsListEntry.safeParse({ designator: name, ...shared })
    if (!parsed.success) {
      const [issue] = parsed.error.issues
      throw new CellError(String(issue!.path[0] ?? 'designator'), `${issue!.message}.`)
    }
    const { alternatives: others, part: number } = parsed.data
    if (others.includes(number)) throw new CellError('alternatives', `${number} cannot stand in for itself.`)
    return parsed.data
  })
}
