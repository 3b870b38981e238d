import { type CommandContext, print, printJson } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { withWorkshop } from '../open-workshop.ts'

/** `boardwright check`: proves the workshop file. */
export function check(context: CommandContext) {
  return withWorkshop(context, {}, (workshop) => {
    const report = workshop.check()
    if (context.json) printJson(context, report)
    else {
      const { unitsChecked, runsChecked, journalEntries } = report
      const extent = `${unitsChecked} units, ${runsChecked} verdicts computed again, ${journalEntries} journal entries`
      print(context, `${workshop.file}: ${report.ok ? 'sound' : `${report.findings.length} faults`} (${extent}).`)
      for (const finding of report.findings) print(context, `  ${finding.message} [${finding.code}]`)
    }
    return report.ok ? exitCode.ok : exitCode.fail
  })
}
