import { EventEmitter } from 'node:events'
import { PassThrough } from 'node:stream'
import xterm from '@xterm/headless'
import { render } from 'ink'
import type { ReactElement } from 'react'

/** A terminal of a given size: Ink writes to it, a real terminal emulator keeps its cells, keys are typed into it. */
export interface TestTerminal {
  /** The lines that a person sees. */
  lines(): Promise<string[]>
  text(): Promise<string>
  type(keys: string): void
  resize(size: { columns: number; rows: number }): void
  /** Waits until the screen shows this. */
  until(sight: RegExp, timeoutMs?: number): Promise<string>
  exited: Promise<unknown>
  close(): void
}

const pause = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms))

export function showInTerminal(element: ReactElement, size: { columns: number; rows: number }): TestTerminal {
  const emulator = new xterm.Terminal({ cols: size.columns, rows: size.rows, allowProposedApi: true, convertEol: true })
  const stdout = Object.assign(new EventEmitter(), {
    ...size,
    isTTY: true,
    write(text: string, done?: () => void) {
      emulator.write(text, done)
      return true
    },
  })
  const stdin = Object.assign(new PassThrough(), {
    isTTY: true,
    setRawMode: () => stdin,
    ref: () => stdin,
    unref: () => stdin,
  })
  const app = render(element, {
    stdout: stdout as unknown as NodeJS.WriteStream,
    stdin: stdin as unknown as NodeJS.ReadStream,
    patchConsole: false,
  })
  const lines = async () => {
    await new Promise<void>((resolve) => emulator.write('', resolve))
    const { active } = emulator.buffer
    return Array.from(
      { length: emulator.rows },
      (_, row) => active.getLine(active.baseY + row)?.translateToString(true) ?? '',
    )
  }
  const text = async () => (await lines()).join('\n')
  return {
    lines,
    text,
    type: (keys) => stdin.write(keys),
    resize({ columns, rows }) {
      emulator.resize(columns, rows)
      Object.assign(stdout, { columns, rows })
      stdout.emit('resize')
    },
    async until(sight, timeoutMs = 20_000) {
      const deadline = Date.now() + timeoutMs
      for (;;) {
        const seen = await text()
        if (sight.test(seen)) return seen
        if (Date.now() > deadline) throw new Error(`The screen never showed ${sight}. It shows:\n${seen}`)
        await pause(30)
      }
    },
    exited: app.waitUntilExit(),
    close: () => app.unmount(),
  }
}
