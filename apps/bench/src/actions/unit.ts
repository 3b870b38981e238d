import { formatAgo, formatWhen, journalWords, type UnitState } from '@boardwright/core'
import { type CommandContext, print, printJson } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { withWorkshop } from '../open-workshop.ts'
import { textTable } from '../text/table.ts'
import { verdictWords } from '../text/verdict-words.ts'

/** `boardwright unit list`. */
export function unitList(context: CommandContext, query: { state?: UnitState; search?: string }) {
  return withWorkshop(context, {}, (workshop) => {
    const units = workshop.units({ state: query.state, search: query.search })
    const now = new Date()
    if (context.json) printJson(context, { units })
    else if (units.length === 0) print(context, 'No unit matches.')
    else
      print(
        context,
        textTable(
          units.map((unit) => [
            unit.serial,
            unit.state,
            `${unit.productId} ${unit.revision}`,
            formatAgo(unit.updatedAt, { now }),
            unit.lastRun ? `${verdictWords[unit.lastRun.verdict]}: ${unit.lastRun.reason}` : '',
          ]),
        ),
      )
    return exitCode.ok
  })
}

/** `boardwright unit show SERIAL`. */
export function unitShow(context: CommandContext, options: { serial: string }) {
  return withWorkshop(context, {}, (workshop) => {
    const detail = workshop.unit(options.serial)
    if (context.json) {
      printJson(context, detail)
      return exitCode.ok
    }
    const { unit, runs, history, reworks } = detail
    print(
      context,
      `${unit.serial}: ${unit.state}, ${unit.productId} ${unit.revision}, made ${formatWhen(unit.createdAt)}`,
    )
    print(context, runs.length === 0 ? 'Not tested yet.' : 'Test runs, newest first:')
    for (const run of runs)
      print(
        context,
        `  ${verdictWords[run.verdict]}  ${formatWhen(run.startedAt)}, ${run.rig}, reference ${run.referenceVersion}, ${run.station}: ${run.reason}`,
      )
    if (reworks.length > 0) print(context, 'Reworked, newest first:')
    for (const { at, designator, action, part, lot, note, afterRunId } of reworks) {
      const what = [part, lot && `lot ${lot}`, note].filter(Boolean).join(', ')
      const after = afterRunId === null ? 'before its first test' : `after ${afterRunId}`
      print(context, `  ${designator} ${action}  ${formatWhen(at)}, ${after}${what ? `: ${what}` : ''}`)
    }
    print(context, 'History:')
    for (const entry of history) print(context, `  ${formatWhen(entry.at)}  ${journalWords(entry)} (${entry.station})`)
    return exitCode.ok
  })
}
