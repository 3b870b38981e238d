import { CellError } from '../table/read-cell.ts'

/** A longer row in one cell is a slip. */
const mostInARow = 500

/** "R1, R2; R5" and "R1-R4" as single designators, in capitals. */
export function splitDesignators(text: string): string[] {
  const names: string[] = []
  for (const word of text
    .toUpperCase()
    .split(/[\s,;]+/)
    .filter(Boolean)) {
    const row = /^([A-Z]+)(\d{1,6})-([A-Z]*)(\d{1,6})$/.exec(word)
    if (!row || (row[3] !== '' && row[3] !== row[1])) names.push(word)
    else names.push(...rowOf(row[1]!, Number(row[2]), Number(row[4])))
  }
  if (names.length === 0) throw new CellError('designator', 'The designator is missing.')
  return names
}

function rowOf(letters: string, first: number, last: number): string[] {
  if (last < first || last - first >= mostInARow)
    throw new CellError('designator', `"${letters}${first}-${letters}${last}" is no row of designators.`)
  return Array.from({ length: last - first + 1 }, (_, i) => `${letters}${first + i}`)
}
