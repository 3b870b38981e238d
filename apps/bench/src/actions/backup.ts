import { type CommandContext, print, printJson } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { withWorkshop } from '../open-workshop.ts'

/** `boardwright backup FILE`: copies the workshop and checks the copy. */
export function backup(context: CommandContext, options: { path: string }) {
  return withWorkshop(context, {}, async (workshop) => {
    const report = await workshop.backup(options.path)
    if (context.json) printJson(context, report)
    else {
      const { check } = report
      const size = `${(report.bytes / 1e6).toFixed(1)} MB, ${check.unitsChecked} units, ${check.runsChecked} test runs`
      print(
        context,
        `${report.path}: ${size}. ${check.ok ? 'The copy was opened and is sound.' : 'The copy has faults:'}`,
      )
      for (const finding of check.findings) print(context, `  ${finding.message} [${finding.code}]`)
    }
    return report.check.ok ? exitCode.ok : exitCode.fail
  })
}
