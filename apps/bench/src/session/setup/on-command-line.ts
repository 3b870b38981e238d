import { type Answers, makeAnswers } from '../../ask-line.ts'
import { type CommandContext, note } from '../../command-context.ts'
import { withWorkshop } from '../../open-workshop.ts'
import { withStopSignal } from '../../stop-signal.ts'
import { askOnTerminal } from '../ask-on-terminal.ts'
import { makeSoundRig } from '../sound-rig.ts'
import { allowFirstSound } from '../steps/caution.ts'
import { needSettings } from './listen.ts'
import type { SetUp } from './steps.ts'

export interface RigOptions {
  name?: string
  yes?: boolean
  product?: string
}

/**
 * Does a step of a set-up on the command line: the rig is there, the caution was said, Ctrl-C stops in order.
 * Errors: no-rig, stopped; those of the step.
 */
export function withRig<T>(
  context: CommandContext,
  options: RigOptions,
  work: (setUp: SetUp & { signal: AbortSignal }, answers: Answers) => Promise<T>,
): Promise<T> {
  const { name, yes } = options
  return withWorkshop(context, {}, async (workshop) => {
    const product = workshop.product(options.product)
    const rig = makeSoundRig({ workshop, name, environment: context.env })
    needSettings(rig)
    const answers = makeAnswers(context)
    return withStopSignal(async (signal) => {
      const ask = askOnTerminal({ context, answers, product, signal, yes })
      await allowFirstSound({ rig, ask, signal })
      return work({ workshop, rig, product, signal }, answers)
    }).finally(answers.close)
  })
}

/** Tells how far something is, a line for each activity. */
export function tellActivity(context: CommandContext): (progress: { activity: string }) => void {
  let said = ''
  return ({ activity }) => {
    if (activity !== said) note(context, `  ${activity}`)
    said = activity
  }
}
