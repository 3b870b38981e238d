import { BoardwrightError } from '@boardwright/core'
import type { GaugeProgress, Workshop } from '@boardwright/core/workshop'
import type { Answers } from '../ask-line.ts'
import { type CommandContext, note, print, printJson } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { fromRecordingFiles, type OnRigOptions, onRig, type RecordingOptions } from '../on-rig.ts'
import { withWorkshop } from '../open-workshop.ts'
import { UsageError } from '../report-error.ts'
import { runGaugeReading } from '../session/run-gauge-reading.ts'
import type { RigWork } from '../session/run-rig-check.ts'
import { stepWords } from '../text/gauge-words.ts'
import { rigKindOfChoice } from '../text/rig-check-words.ts'
import { tellStudy } from './gauge-show.ts'

interface RunOptions extends OnRigOptions {
  readings?: number
  boardsIn?: boolean
}

/** The study that waits for its next reading. Errors: not-found. */
function underWay(workshop: Workshop, which: Parameters<Workshop['gaugeStudies']['underWay']>[0]): GaugeProgress {
  const found = workshop.gaugeStudies.underWay(which)
  if (found) return found
  throw new BoardwrightError('not-found', 'No gauge study is under way on this rig.', {
    remedy: 'Begin one with "boardwright gauge start".',
  })
}

/** `boardwright gauge run`: goes on with the study on the rig, board after board. */
export function gaugeRun(context: CommandContext, options: RunOptions) {
  const { rig } = options
  if (rig === undefined) throw new UsageError('Choose the rig with --rig.')
  return withWorkshop(context, {}, async (workshop) => {
    const which = { productId: options.product, rig: rigKindOfChoice(rig) }
    let progress = underWay(workshop, which)
    await onRig(context, workshop, options, async (request, answers) => {
      for (let taken = 0; progress.next && taken < (options.readings ?? Number.POSITIVE_INFINITY); taken++)
        progress = await takeReading(context, { request, answers, progress, boardsIn: options.boardsIn })
    })
    tellStudy(context, workshop, progress.study)
    return exitCode.ok
  })
}

async function takeReading(
  context: CommandContext,
  what: { request: RigWork; answers: Answers; progress: GaugeProgress; boardsIn?: boolean },
): Promise<GaugeProgress> {
  const { request, answers, progress, boardsIn } = what
  const { study, next: step } = progress
  if (!step) return progress
  const sentence = `Reading ${step.position} of ${study.wanted}: ${stepWords(step, study)}`
  if (step.repeat > 1 || boardsIn) note(context, sentence)
  else await answers.line(`${sentence} Enter goes on, Ctrl-C stops.`, request.signal)
  return runGaugeReading({ ...request, studyId: study.id, step })
}

/** `boardwright gauge add`: takes the next reading from files. */
export function gaugeAdd(context: CommandContext, options: RecordingOptions) {
  if (options.setting === undefined) throw new UsageError('Give the recordings with --setting NAME=FILE.')
  return withWorkshop(context, {}, (workshop) => {
    const { productId, ...recorded } = fromRecordingFiles(options)
    const { study, next } = underWay(workshop, { productId, rig: 'files' })
    const step = next ?? { position: 0 }
    const progress = workshop.gaugeStudies.addReading({ ...recorded, studyId: study.id, position: step.position })
    if (context.json) printJson(context, progress)
    else if (!progress.next) tellStudy(context, workshop, progress.study)
    else
      print(
        context,
        `Reading ${step.position} of ${study.wanted} is taken. Next: ${stepWords(progress.next, progress.study)}`,
      )
    return exitCode.ok
  })
}
