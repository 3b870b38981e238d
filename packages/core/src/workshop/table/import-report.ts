import { isBoardwrightError } from '../../model/error.ts'
import { CellError } from './read-cell.ts'
import type { ReadTable, RefusedLine, TableLine } from './read-table.ts'

/** What came of a table that was read in. */
export interface TableReport {
  /** Lines that were taken. */
  taken: number
  /** Lines that were not, in the order of the file. */
  refused: RefusedLine[]
  /** The heading that was taken for each field. */
  columns: Record<string, string>
  unused: string[]
  /** The refused lines under the same headings: mend it and read it in again. Empty when nothing was refused. */
  refusedTable: string
}

/** Reads every line by `take`; what it cannot take is refused with its reason, the others are taken. */
export function takeLines(table: ReadTable, take: (line: TableLine) => void): TableReport {
  const refused = [...table.refused]
  let taken = 0
  for (const line of table.lines) {
    try {
      take(line)
      taken++
    } catch (error) {
      if (!isBoardwrightError(error) && !(error instanceof CellError)) throw error
      const column = error instanceof CellError ? (table.columns[error.field] ?? null) : null
      refused.push({ line: line.line, column, reason: error.message, text: line.text })
    }
  }
  refused.sort((one, other) => one.line - other.line)
  const { columns, unused, header } = table
  const refusedTable = refused.length === 0 ? '' : `${[header, ...refused.map(({ text }) => text)].join('\n')}\n`
  return { taken, refused, columns, unused, refusedTable }
}
