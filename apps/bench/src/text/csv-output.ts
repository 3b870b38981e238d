import { writeFileAside } from '@boardwright/core/audio'
import { type CommandContext, note, print } from '../command-context.ts'
import { UsageError } from '../report-error.ts'
import { csv } from './csv.ts'

/** Where `--csv` goes: a file, or standard output (also as "-"). Undefined when it was not asked for. */
export function csvTarget(context: CommandContext, option: string | true | undefined): string | true | undefined {
  const target = option === '-' ? true : option
  if (target === true && context.json) throw new UsageError('--json and --csv cannot both write to standard output.')
  return target
}

/** Writes rows where `--csv` wants them. */
export function writeCsv(context: CommandContext, target: string | true, rows: Parameters<typeof csv>[0]): void {
  if (target === true) print(context, csv(rows))
  else {
    writeFileAside(target, csv(rows))
    note(context, `${rows.length - 1} rows are in ${target}.`)
  }
}
