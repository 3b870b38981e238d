import { formatVoltage, type HardPlan, type Product } from '@boardwright/core'
import type { RigDriver } from '@boardwright/core/audio'
import type { HardRecording, Workshop } from '@boardwright/core/workshop'
import { makeAnswers } from '../ask-line.ts'
import { type CommandContext, note } from '../command-context.ts'
import { chooseRig, type RigChoice } from '../rig-choice.ts'
import { withStopSignal } from '../stop-signal.ts'
import { askOnTerminal } from './ask-on-terminal.ts'
import { type HardProgress, type HardQuestion, pressHard } from './press-hard.ts'

/** Presses a board on the command line, as often as told; says what goes on. Errors: those of `pressHard`. */
export async function pressOnTerminal(
  context: CommandContext,
  workshop: Workshop,
  options: Omit<RigChoice, 'speed'> & {
    product: Product
    plan: HardPlan
    serial: string
    takes: number
    yes?: boolean
  },
): Promise<{ takes: HardRecording[][]; rig: RigDriver }> {
  const { product, plan, serial, yes } = options
  const choice = { ...options, speed: Number.POSITIVE_INFINITY }
  const { rig, label, close } = await chooseRig(choice, {
    workshop,
    product,
    inBackground: false,
    environment: context.env,
  })
  note(context, `Rig: ${label}`)
  const answers = makeAnswers(context)
  const takes: HardRecording[][] = []
  const press = (signal: AbortSignal) => {
    const askRun = askOnTerminal({ context, answers, product, signal, yes })
    const ask = async (question: HardQuestion) => {
      if (question.kind !== 'supply') await askRun(question)
      else await answers.line(supplySentence(question.supply), signal)
    }
    return pressHard({ workshop, rig, product, serial, hard: plan, signal, ask, onProgress: sayProgress(context) })
  }
  try {
    await withStopSignal(async (signal) => {
      for (let take = 1; take <= options.takes; take++) {
        if (options.takes > 1) note(context, `Take ${take} of ${options.takes}`)
        takes.push(await press(signal))
      }
    })
  } finally {
    answers.close()
    close()
  }
  return { takes, rig }
}

const supplySentence = ({ label, voltageV }: HardPlan['supplies'][number]): string =>
  `Set the supply of the board to ${formatVoltage(voltageV)} (${label.toLowerCase()}). Enter goes on.`

function sayProgress(context: CommandContext) {
  let said = ''
  return (parts: readonly HardProgress[]) => {
    const now = parts.find((one) => one.state === 'running')
    const line = now ? `${now.supply.label}: ${now.part === 'sweep' ? 'loud sweep' : 'ladder of tones'}` : ''
    if (line && line !== said) note(context, `  ${line}`)
    said = line || said
  }
}
