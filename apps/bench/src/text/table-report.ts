import { writeFileAside } from '@boardwright/core/audio'
import type { TableReport } from '@boardwright/core/workshop'
import { type CommandContext, note, print } from '../command-context.ts'
import { wrapWords } from './wrap-words.ts'

/** What came of a table that was read in: the columns, and each refused line with its reason. */
export function printTableReport(context: CommandContext, { taken, refused, columns, unused }: TableReport): void {
  const read = Object.entries(columns).map(([field, heading]) => `${field} from "${heading}"`)
  for (const line of wrapWords(`Read: ${read.join(', ')}.`, 78)) print(context, line)
  if (unused.length > 0) print(context, `Not read: ${unused.map((heading) => `"${heading}"`).join(', ')}.`)
  print(context, `${taken} line${taken === 1 ? '' : 's'} taken, ${refused.length} refused.`)
  for (const { line, column, reason } of refused)
    print(context, `  line ${line}${column === null ? '' : `, column "${column}"`}: ${reason}`)
}

/** The refused lines in a file of their own, to be mended and read in again. */
export function writeRefused(
  context: CommandContext,
  path: string | undefined,
  { refused, refusedTable }: TableReport,
): void {
  if (path === undefined || refused.length === 0) return
  writeFileAside(path, refusedTable)
  note(context, `The refused lines are in ${path}: mend them and read that file in.`)
}
