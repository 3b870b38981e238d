import { parse } from 'csv-parse/sync'
import { BoardwrightError } from '../../model/error.ts'
import { splitRecords } from './split-records.ts'

/** A column that an import looks for. */
export interface TableField {
  name: string
  /** Headings it is known by, in small letters, words with one blank between. */
  headings: readonly string[]
  required?: boolean
}

/** One line of a table: what stands in each column that was found; empty cells are left out. */
export interface TableLine {
  line: number
  text: string
  cells: Readonly<Record<string, string>>
}

export interface RefusedLine {
  /** Line in the file, counted from 1. */
  line: number
  /** Heading of the column, where one cell is at fault. */
  column: string | null
  reason: string
  /** The line as it stands in the file. */
  text: string
}

export interface ReadTable {
  lines: TableLine[]
  refused: RefusedLine[]
  /** The heading that was taken for each field. */
  columns: Record<string, string>
  /** Headings that nothing was read from. */
  unused: string[]
  /** The line of headings, as it stands in the file. */
  header: string
  delimiter: string
}

/** More than a parts list or a stock of a small workshop ever has. */
const mostCharacters = 20_000_000

/**
 * Reads comma-separated values with one line of headings: columns in any order; comma, semicolon or tab between them.
 * @param options.columns which heading is which field, where it is not known by its own words
 * Errors: bad-argument when the text is too long or has no line of headings, column-missing.
 */
export function readTable(options: {
  text: string
  fields: readonly TableField[]
  columns?: Readonly<Record<string, string>>
}): ReadTable {
  const { text, fields } = options
  if (text.length > mostCharacters)
    throw new BoardwrightError('bad-argument', 'The table is longer than 20 million characters.')
  const delimiter = findDelimiter(text)
  const [head, ...records] = splitRecords(text, delimiter)
  const headings = head && parseRecord(head.text, delimiter)
  if (!head || !headings) throw new BoardwrightError('bad-argument', 'The table has no line of headings.')
  const places = mapColumns({ headings, fields, wanted: options.columns ?? {} })
  const table: ReadTable = {
    lines: [],
    refused: [],
    columns: Object.fromEntries([...places].map(([field, place]) => [field, headings[place]!])),
    unused: headings.filter((heading, i) => heading !== '' && ![...places.values()].includes(i)),
    header: head.text,
    delimiter,
  }
  for (const record of records) {
    const { line, text: raw } = record
    const cells = record.open ? undefined : parseRecord(raw, delimiter)
    if (cells === undefined)
      table.refused.push({
        line,
        column: null,
        reason: 'A quote is opened that is not closed as it should.',
        text: raw,
      })
    else if (cells.some((cell) => cell !== ''))
      table.lines.push({ line, text: raw, cells: Object.fromEntries(filled(places, cells)) })
  }
  return table
}

function* filled(places: ReadonlyMap<string, number>, cells: readonly string[]): Iterable<[string, string]> {
  for (const [field, place] of places) if (cells[place]) yield [field, cells[place]]
}

/** The one that the first line has most of. */
function findDelimiter(text: string): string {
  const first = /[^\r\n]*\S[^\r\n]*/.exec(text)?.[0] ?? ''
  const count = (character: string) => first.split(character).length
  return [',', ';', '\t'].reduce((best, one) => (count(one) > count(best) ? one : best))
}

/** @returns the cells; undefined when the record is no proper one */
function parseRecord(text: string, delimiter: string): string[] | undefined {
  try {
    const trimmed = delimiter === '\t' ? { trim: false } : { trim: true }
    const options = { ...trimmed, delimiter, relax_column_count: true, relax_quotes: true, record_delimiter: '\u0000' }
    const [record] = parse(text, options) as string[][]
    return record?.map((cell) => cell.trim().replace(/\s+/g, ' '))
  } catch {
    return undefined
  }
}

const words = (heading: string): string =>
  heading
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, ' ')
    .trim()

function mapColumns(options: {
  headings: readonly string[]
  fields: readonly TableField[]
  wanted: Readonly<Record<string, string>>
}): Map<string, number> {
  const { headings, fields, wanted } = options
  const found = headings.map(words)
  const places = new Map<string, number>()
  for (const name of Object.keys(wanted))
    if (!fields.some((field) => field.name === name))
      throw new BoardwrightError(
        'column-missing',
        `Nothing is called "${name}"; columns can be named for ${list(fields)}.`,
      )
  for (const { name, headings: known, required } of fields) {
    const own = wanted[name]
    const place =
      own === undefined ? known.map((one) => found.indexOf(one)).find((i) => i >= 0) : found.indexOf(words(own))
    if (place !== undefined && place >= 0) places.set(name, place)
    else if (own !== undefined || required) {
      const missing = own === undefined ? `no column for the ${name}` : `no column "${own}"`
      const there = headings
        .filter(Boolean)
        .map((heading) => `"${heading}"`)
        .join(', ')
      throw new BoardwrightError('column-missing', `The table has ${missing}; it has ${there.slice(0, 400)}.`)
    }
  }
  return places
}

const list = (fields: readonly TableField[]): string => fields.map(({ name }) => name).join(', ')
