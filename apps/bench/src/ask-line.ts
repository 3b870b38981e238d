import { type CommandContext, note } from './command-context.ts'
import { UsageError } from './report-error.ts'

/** Lines that a person types, or another program writes, one for each question. */
export interface Answers {
  /** Says a sentence and waits for a line. Errors: bad-argument when no line comes; the signal's reason. */
  line(sentence: string, signal?: AbortSignal): Promise<string>
  /** Lets go of standard input, so that the program can end. */
  close(): void
}

/** Reads answers from standard input, which is not touched before the first question. */
export function makeAnswers(context: CommandContext): Answers {
  const stdin = context.stdin ?? process.stdin
  let text = ''
  let state: 'untouched' | 'open' | 'ended' = 'untouched'
  let wake = () => {}
  const onData = (piece: string | Buffer) => {
    text += piece
    wake()
  }
  const onEnd = () => {
    state = 'ended'
    wake()
  }
  const open = () => {
    if (state !== 'untouched') return
    state = 'open'
    stdin.setEncoding('utf8').on('data', onData).on('end', onEnd)
    stdin.resume()
  }
  return {
    async line(sentence, signal) {
      note(context, sentence)
      open()
      const onAbort = () => wake()
      signal?.addEventListener('abort', onAbort)
      try {
        for (;;) {
          signal?.throwIfAborted()
          const end = text.indexOf('\n')
          if (end >= 0) {
            const answer = text.slice(0, end).trim()
            text = text.slice(end + 1)
            return answer
          }
          if (state === 'ended')
            throw new UsageError('No answer came on standard input.', 'Run the command at a terminal, and press Enter.')
          await new Promise<void>((resolve) => {
            wake = resolve
          })
        }
      } finally {
        signal?.removeEventListener('abort', onAbort)
      }
    },
    close() {
      stdin.off('data', onData).off('end', onEnd)
      stdin.pause()
    },
  }
}
