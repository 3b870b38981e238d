import { BoardwrightError } from '@boardwright/core'
import type { Workshop } from '@boardwright/core/workshop'
import { type Answers, makeAnswers } from './ask-line.ts'
import { type CommandContext, note } from './command-context.ts'
import type { SettingFile } from './parse-option.ts'
import { readSweepFile } from './read-sweep-file.ts'
import { UsageError } from './report-error.ts'
import { chooseRig, type RigChoice } from './rig-choice.ts'
import { askOnTerminal } from './session/ask-on-terminal.ts'
import type { RigWork } from './session/run-rig-check.ts'
import type { SettingProgress } from './session/setting-progress.ts'
import { channelOf, readSettingFiles, type Side } from './setting-recordings.ts'
import { withStopSignal } from './stop-signal.ts'

/** The options of `withRigOptions`. */
export interface OnRigOptions extends Omit<RigChoice, 'rig' | 'speed'> {
  rig?: RigChoice['rig']
  product?: string
  yes?: boolean
  despiteContact?: boolean
}

/** The options of `withRecordingOptions`. */
export interface RecordingOptions {
  setting?: SettingFile[]
  sweep?: string
  loopBack?: Side
  product?: string
}

/** Recordings from files, with what was played and where the loop-back is. Errors: those of reading WAV files. */
export const fromRecordingFiles = ({ setting, sweep, loopBack, product }: RecordingOptions) => ({
  productId: product,
  rig: 'wave-files' as const,
  recordings: readSettingFiles(setting ?? []),
  sweep: sweep === undefined ? undefined : readSweepFile(sweep),
  loopBackChannel: channelOf(loopBack),
})

/** Refuses recordings and a rig together, and neither. Errors: bad-argument. */
export function refuseBothWays({
  setting,
  sweep,
  loopBack,
  rig,
  yes,
  despiteContact,
}: OnRigOptions & RecordingOptions): void {
  if ((setting === undefined) === (rig === undefined))
    throw new UsageError('Give the recordings with --setting NAME=FILE, or choose a rig with --rig.')
  if (rig !== undefined && (sweep !== undefined || loopBack !== undefined))
    throw new UsageError('--sweep and --loop-back belong to recordings given with --setting, not to --rig.')
  if (rig === undefined && (yes || despiteContact)) throw new UsageError('--yes and --despite-contact belong to --rig.')
}

/** Tells what each setting does, a line for each change. */
function tellProgress(context: CommandContext): (settings: readonly SettingProgress[]) => void {
  let said = ''
  return (settings) => {
    const now = settings.find((one) => one.state === 'running')
    const line = now?.activity ? `${now.setting}: ${now.activity}` : ''
    if (line && line !== said) note(context, `  ${line}`)
    said = line || said
  }
}

/**
 * Does work on the chosen rig from the command line: questions are asked at the terminal, Ctrl-C stops in order.
 * Errors: those of the rig and of the work; stopped.
 */
export async function onRig<T>(
  context: CommandContext,
  workshop: Workshop,
  options: OnRigOptions,
  work: (request: RigWork, answers: Answers) => Promise<T>,
): Promise<T> {
  if (options.rig === undefined) throw new BoardwrightError('bad-argument', 'Choose a rig with --rig.')
  const product = workshop.product(options.product)
  const choice = { ...options, rig: options.rig, speed: Number.POSITIVE_INFINITY }
  const { rig, label, close } = await chooseRig(choice, {
    workshop,
    product,
    inBackground: false,
    environment: context.env,
  })
  note(context, `Rig: ${label}`)
  const answers = makeAnswers(context)
  const { yes, despiteContact } = options
  const onProgress = tellProgress(context)
  return withStopSignal((signal) => {
    const ask = askOnTerminal({ context, answers, product, signal, yes, despiteContact })
    return work({ workshop, rig, product, signal, onProgress, ask }, answers)
  }).finally(() => {
    answers.close()
    close()
  })
}
