/** A record of a table as it stands in the file: one line, or several where a quoted field holds line breaks. */
export interface RawRecord {
  /** Line it begins on, counted from 1. */
  line: number
  text: string
  /** A quote is opened that nothing closes; the record is its line alone. */
  open: boolean
}

/** A quoted field of more lines than this is a forgotten quote. */
const mostLines = 50

/**
 * Splits a table into its records. A forgotten quote costs its own line only, not the rest of the file, so that each refused
 * line can be named. Source: RFC 4180, section 2, for what a quote does.
 */
export function splitRecords(text: string, delimiter: string): RawRecord[] {
  const lines = text.replace(/^\uFEFF/, '').split(/\r\n|\n|\r/)
  const records: RawRecord[] = []
  for (let i = 0; i < lines.length; i++) {
    if (lines[i]!.trim() === '') continue
    const end = closingLine(lines, i, delimiter)
    records.push({ line: i + 1, text: lines.slice(i, (end ?? i) + 1).join('\n'), open: end === undefined })
    i = end ?? i
  }
  return records
}

function closingLine(lines: readonly string[], start: number, delimiter: string): number | undefined {
  let isQuoted = false
  for (let i = start; i < Math.min(lines.length, start + mostLines); i++) {
    const end = endOfLine(lines[i]!, delimiter, isQuoted)
    if (end === 'broken') return undefined
    isQuoted = end === 'quoted'
    if (!isQuoted) return i
  }
  return undefined
}

/**
 * How a line ends: within quotes or not, or `broken` where a closing quote is followed by more of its field, as happens when
 * an earlier one was forgotten. A quote in the middle of a bare field (2.5" screw) opens nothing.
 */
function endOfLine(line: string, delimiter: string, begunQuoted: boolean): 'quoted' | 'bare' | 'broken' {
  let isQuoted = begunQuoted
  let atFieldStart = !begunQuoted
  for (let i = 0; i < line.length; i++) {
    const character = line[i]!
    if (isQuoted) {
      if (character !== '"') continue
      if (line[i + 1] === '"') i++
      else if (closesField(line.slice(i + 1), delimiter)) isQuoted = false
      else return 'broken'
    } else if (character === '"' && atFieldStart) {
      isQuoted = true
      atFieldStart = false
    } else if (character === delimiter) atFieldStart = true
    else if (character !== ' ') atFieldStart = false
  }
  return isQuoted ? 'quoted' : 'bare'
}

function closesField(rest: string, delimiter: string): boolean {
  const next = rest.replace(/^ +/, '')
  return next === '' || next.startsWith(delimiter)
}
