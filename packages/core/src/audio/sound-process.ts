import { type ChildProcessByStdio, spawn } from 'node:child_process'
import type { Readable, Writable } from 'node:stream'
import { pause } from './pause.ts'
import { type ProgramCall, plainEnvironment } from './run-program.ts'

/** How a player or recorder ended. */
export interface ProcessEnd {
  exitCode: number | null
  signal: NodeJS.Signals | null
  /** Why it could not be started. */
  startError?: NodeJS.ErrnoException
}

/** The last of what a program says is kept; a player that tells the time twenty times a second says a lot. */
const keptCharacters = 8000
/** How long a program may take to end when it is asked to, ms. */
const endWithinMs = 1000

/** A player or recorder that runs: its messages, its end, and a way to end it that leaves nothing behind. */
export class SoundProcess {
  readonly program: string
  readonly child: ChildProcessByStdio<Writable, Readable, Readable>
  /** Settles when the program has ended and its pipes are closed; never rejects. */
  readonly ended: Promise<ProcessEnd>
  end: ProcessEnd | null = null
  messages = ''

  constructor(call: ProgramCall, onMessage: (messages: string) => void) {
    this.program = call.program
    this.child = spawn(call.program, call.arguments, {
      env: plainEnvironment(call.environment),
      stdio: ['pipe', 'pipe', 'pipe'],
      windowsHide: true,
    })
    this.child.stderr.setEncoding('utf8').on('data', (text: string) => {
      this.messages = (this.messages + text).slice(-keptCharacters)
      // A line that is still being said could mean anything.
      onMessage(this.messages.slice(0, 1 + Math.max(this.messages.lastIndexOf('\n'), this.messages.lastIndexOf('\r'))))
    })
    // A player that ends early breaks the pipe; how it ended tells more.
    this.child.stdin.on('error', () => {})
    this.ended = new Promise((resolve) => {
      const settle = (end: ProcessEnd) => {
        this.end ??= end
        resolve(this.end)
      }
      this.child.on('error', (startError) => settle({ exitCode: null, signal: null, startError }))
      this.child.on('close', (exitCode, signal) => settle({ exitCode, signal }))
    })
  }

  /** Ends it at once: a player falls silent with this. */
  kill(): void {
    this.child.kill('SIGKILL')
  }

  /** Asks it to end, and makes it when it does not; settles when it is gone. */
  async finish(): Promise<ProcessEnd> {
    this.child.kill('SIGTERM')
    const waiting = new AbortController()
    pause(endWithinMs, waiting.signal).then(
      () => this.kill(),
      () => {},
    )
    const end = await this.ended
    waiting.abort()
    return end
  }

  /** The last thing it said, for an error. */
  lastMessage(): string {
    const lines = this.messages.split(/[\r\n]+/).map((line) => line.trim())
    return lines.filter((line) => line !== '' && !/^Time: /.test(line)).at(-1) ?? ''
  }
}
