import { type CommandContext, print, printJson } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { withWorkshop } from '../open-workshop.ts'
import { readTextFile } from '../read-text-file.ts'
import { printTableReport, writeRefused } from '../text/table-report.ts'

export interface StockImportOptions {
  path: string
  columns?: Record<string, string>
  check?: boolean
  refused?: string
}

/** `boardwright stock import FILE.csv`: parts and lots. Exit code 1 when a line was refused. */
export function stockImport(context: CommandContext, options: StockImportOptions) {
  const csv = readTextFile(options.path)
  return withWorkshop(context, { create: true }, (workshop) => {
    const report = workshop.stock.importStock({ csv, columns: options.columns, check: options.check })
    writeRefused(context, options.refused, report)
    if (context.json) printJson(context, report)
    else {
      printTableReport(context, report)
      const { partsAdded, partsChanged, lotsReceived, pieces } = report
      const verb = options.check ? 'Would be stored' : 'Stored'
      print(
        context,
        `${verb}: ${partsAdded} new parts, ${partsChanged} changed, ${lotsReceived} lots with ${pieces} pieces.`,
      )
    }
    return report.refused.length > 0 ? exitCode.fail : exitCode.ok
  })
}
