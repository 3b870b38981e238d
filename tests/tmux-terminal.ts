import { execFileSync } from 'node:child_process'
import { setTimeout as pause } from 'node:timers/promises'

/** A real terminal: a tmux server of its own, so that nobody's sessions are touched. */
export interface TmuxTerminal {
  /** What a person sees; with `escapes`, colours and styles as escape sequences. */
  screen(options?: { escapes?: boolean }): string
  keys(...names: string[]): void
  text(literal: string): void
  resize(size: { columns: number; rows: number }): void
  until(sight: RegExp, timeoutMs?: number): Promise<string>
  close(): void
}

let started = 0

export function openTmux(options: {
  command: string
  columns: number
  rows: number
  env?: Record<string, string>
}): TmuxTerminal {
  started++
  const server = `boardwright-${process.pid}-${started}`
  const { NO_COLOR: _, FORCE_COLOR: __, ...inherited } = process.env
  const env = { ...inherited, TMUX: '', LC_ALL: 'C.UTF-8', ...options.env }
  const tmux = (...args: string[]) =>
    execFileSync('tmux', ['-L', server, '-f', '/dev/null', ...args], { env, encoding: 'utf8' })
  // The shell stays when the command ends, so that its exit code can be read from the screen.
  const shell = `${options.command}; echo "exit code $?"; exec sleep 600`
  tmux('new-session', '-d', '-x', String(options.columns), '-y', String(options.rows), shell)
  const screen = ({ escapes = false } = {}) => tmux('capture-pane', '-p', ...(escapes ? ['-e'] : []))
  return {
    screen,
    keys: (...names) => void tmux('send-keys', ...names),
    text: (literal) => void tmux('send-keys', '-l', literal),
    resize: ({ columns, rows }) => void tmux('resize-window', '-x', String(columns), '-y', String(rows)),
    async until(sight, timeoutMs = 60_000) {
      const deadline = Date.now() + timeoutMs
      for (;;) {
        const seen = screen()
        if (sight.test(seen)) return seen
        if (Date.now() > deadline) throw new Error(`The terminal never showed ${sight}. It shows:\n${seen}`)
        await pause(50)
      }
    },
    close: () => void tmux('kill-server'),
  }
}
