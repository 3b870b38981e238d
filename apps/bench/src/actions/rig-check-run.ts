import type { RecordedRigCheck } from '@boardwright/core/workshop'
import { type CommandContext, print, printJson } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { fromRecordingFiles, type OnRigOptions, onRig, type RecordingOptions, refuseBothWays } from '../on-rig.ts'
import { withWorkshop } from '../open-workshop.ts'
import { runRigCheck } from '../session/run-rig-check.ts'
import { retestLines } from '../text/retest-lines.ts'
import { outcomeWords } from '../text/rig-check-words.ts'

const exitOf = { good: exitCode.ok, drifted: exitCode.fail, repeat: exitCode.repeat } as const

/** `boardwright rig-check run`: measures the reference board and judges the rig by it. */
export function rigCheckRun(context: CommandContext, options: OnRigOptions & RecordingOptions) {
  refuseBothWays(options)
  return withWorkshop(context, {}, async (workshop) => {
    const recorded = options.rig
      ? await onRig(context, workshop, options, runRigCheck)
      : workshop.rigChecks.record(fromRecordingFiles(options))
    if (context.json) printJson(context, recorded)
    else tellCheck(context, recorded)
    return exitOf[recorded.check.outcome]
  })
}

function tellCheck(context: CommandContext, { check, doubtful, status }: RecordedRigCheck): void {
  print(context, `${outcomeWords[check.outcome]}  ${check.reasons.join('\n  ')}`)
  if (status.warning) print(context, `◆ ${status.warning}`)
  if (check.outcome === 'repeat')
    print(context, 'Mend what the sentence names, then measure the reference board again.')
  if (check.outcome !== 'drifted') return
  print(context, 'Nothing is tested on this rig until it is good again: mend it, then check again.')
  if (doubtful.length > 0) print(context, 'Tested since its last good check:')
  for (const line of retestLines(doubtful)) print(context, line)
}
