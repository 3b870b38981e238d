import { BoardwrightError, type Product } from '@boardwright/core'
import { playbackCaution } from '@boardwright/core/audio'
import type { Answers } from '../ask-line.ts'
import { type CommandContext, note } from '../command-context.ts'
import type { RunAnswer, RunQuestion } from './test-request.ts'

/**
 * Answers the questions of a run on the command line: the caution is said and, at a terminal, confirmed with Enter; a setting
 * is confirmed with Enter; a bad contact ends the run, unless it is to be measured all the same.
 * Errors: bad-argument when no line comes, contact-problem.
 */
export const askOnTerminal =
  (options: {
    context: CommandContext
    answers: Answers
    product: Product
    signal: AbortSignal
    /** The caution is known: do not wait. */
    yes?: boolean
    despiteContact?: boolean
  }) =>
  async (question: RunQuestion): Promise<RunAnswer> => {
    const { context, answers, product, signal, yes, despiteContact } = options
    if (question.kind === 'caution') {
      if (yes || !(context.stdin ?? process.stdin).isTTY) note(context, playbackCaution)
      else await answers.line(`${playbackCaution}\nEnter goes on, Ctrl-C stops.`, signal)
      return 'go'
    }
    if (question.kind === 'setting') {
      const label = product.settings.find(({ name }) => name === question.setting)?.label ?? question.setting
      await answers.line(`Set the board: ${label} ("${question.setting}"). Enter goes on.`, signal)
      return 'go'
    }
    const { message, remedy } = question.check
    if (!despiteContact)
      throw new BoardwrightError('contact-problem', `Contact check at "${question.setting}": ${message}`, { remedy })
    note(context, `  ${question.setting}: ${message} Measured all the same.`)
    return 'measure'
  }
