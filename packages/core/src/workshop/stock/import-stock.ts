import { partKinds } from '../../model/part.ts'
import { bodyShapes } from '../../model/placement.ts'
import { takeLines } from '../table/import-report.ts'
import {
  CellError,
  plainDecimal,
  readCount,
  readLengthMm,
  readPrice,
  readTolerance,
  readYes,
} from '../table/read-cell.ts'
import { readTable, type TableField, type TableLine } from '../table/read-table.ts'
import type { VerbContext } from '../verb-context.ts'
import { receiveLot } from './receive-lot.ts'
import { savePart } from './save-part.ts'
import type { ImportTable, PartChanges, StockImport } from './stock-verbs.ts'

const fields: readonly TableField[] = [
  { name: 'part', headings: ['part', 'part number', 'manufacturer part number', 'mpn', 'number'], required: true },
  { name: 'manufacturer', headings: ['manufacturer', 'made by', 'brand'] },
  { name: 'kind', headings: ['kind', 'type', 'category'] },
  { name: 'value', headings: ['value', 'nominal value'] },
  { name: 'tolerance', headings: ['tolerance', 'tol'] },
  { name: 'ratedVoltage', headings: ['rated voltage', 'voltage', 'voltage v'] },
  { name: 'body', headings: ['body', 'package', 'case'] },
  { name: 'leadPitch', headings: ['lead pitch', 'lead pitch mm', 'pitch', 'lead spacing'] },
  { name: 'polarised', headings: ['polarised', 'polarized'] },
  { name: 'price', headings: ['price', 'unit price', 'price each'] },
  { name: 'currency', headings: ['currency'] },
  { name: 'supplier', headings: ['supplier', 'bought from'] },
  { name: 'leadTime', headings: ['lead time', 'lead time days'] },
  { name: 'pieces', headings: ['pieces', 'count', 'quantity', 'qty', 'stock'] },
  { name: 'lot', headings: ['lot', 'lot number', 'batch', 'bag'] },
  { name: 'dateCode', headings: ['date code', 'datecode'] },
  { name: 'certificate', headings: ['certificate'] },
  { name: 'note', headings: ['note', 'notes', 'remark'] },
]

class CheckedOnly extends Error {}

/**
 * Reads parts and lots from comma-separated values. A line with pieces is a lot; one without tells of the part only. Each
 * line is taken or refused by itself. Errors: bad-argument, column-missing.
 */
export function importStock(context: VerbContext, what: ImportTable): StockImport {
  const table = readTable({ text: what.csv, fields, columns: what.columns })
  const counts = { partsAdded: 0, partsChanged: 0, lotsReceived: 0, pieces: 0 }
  let report: StockImport | undefined
  const { store } = context
  try {
    store.transaction(() => {
      const take = (line: TableLine) => {
        // A savepoint: what a line did before it was refused is undone.
        const made = store.transaction(() => takeLine(context, line, table.delimiter))
        for (const key of Object.keys(counts) as (keyof typeof counts)[]) counts[key] += made[key]
      }
      report = { ...takeLines(table, take), ...counts }
      if (what.check) throw new CheckedOnly()
    })
  } catch (error) {
    if (!(error instanceof CheckedOnly)) throw error
  }
  return report!
}

function takeLine(context: VerbContext, { cells }: TableLine, delimiter: string) {
  const changes = readPart(cells, delimiter)
  const isNew = context.store.parts.newest(changes.number.trim().toUpperCase()) === undefined
  const { part, changed } = savePart(context, changes)
  const pieces = cells.pieces === undefined ? 0 : readCount('pieces', cells.pieces)
  if (pieces > 0) {
    const { lot, dateCode, certificate: certificatePath } = cells
    const note = cells.note ?? ''
    const bought = { supplier: cells.supplier ?? part.supplier, price: part.price }
    receiveLot(context, { part: part.number, pieces, lot, dateCode, certificatePath, note, ...bought })
  } else if (cells.lot !== undefined) throw new CellError('pieces', 'A lot is named, but no pieces.')
  return {
    partsAdded: isNew ? 1 : 0,
    partsChanged: changed && !isNew ? 1 : 0,
    lotsReceived: pieces > 0 ? 1 : 0,
    pieces,
  }
}

function oneOf<T extends string>(field: string, text: string | undefined, allowed: readonly T[]): T | undefined {
  if (text === undefined) return undefined
  const word = text.toLowerCase().replace(/[ _]+/g, '-') as T
  if (allowed.includes(word)) return word
  throw new CellError(field, `"${text}" is none of ${allowed.join(', ')}.`)
}

function readPart(cells: TableLine['cells'], delimiter: string): PartChanges {
  const { part: number, manufacturer, supplier, currency } = cells
  if (number === undefined) throw new CellError('part', 'The part number is missing.')
  const decimal = (field: string) => {
    const text = cells[field]
    return text === undefined ? undefined : plainDecimal(text, delimiter)
  }
  const read = <T>(field: string, reader: (field: string, text: string) => T): T | undefined => {
    const text = decimal(field)
    return text === undefined ? undefined : reader(field, text)
  }
  return {
    number,
    manufacturer,
    supplier,
    kind: oneOf('kind', cells.kind, partKinds),
    value: decimal('value'),
    tolerance: read('tolerance', readTolerance),
    ratedVoltageV: read('ratedVoltage', readVolts),
    body: oneOf('body', cells.body, bodyShapes),
    leadPitchMm: read('leadPitch', readLengthMm),
    polarised: read('polarised', readYes),
    price: read('price', (field, text) => readPrice(field, text, currency)),
    leadTimeDays: read('leadTime', (field, text) => readCount(field, text.replace(/\s*(?:d|days?)$/i, ''))),
  }
}

function readVolts(field: string, text: string): number {
  const match = /^(\d+(?:\.\d+)?)\s*V?$/i.exec(text)
  if (!match) throw new CellError(field, `"${text}" is no voltage such as "63 V".`)
  return Number(match[1])
}
