import { copyFileSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, afterEach, beforeAll, beforeEach, expect } from 'vitest'
import { command, runCommand } from './command-run.ts'
import { openTmux, type TmuxTerminal } from './tmux-terminal.ts'

/** The built bench in a real terminal (tmux), each test on a fresh copy of one demo workshop; all is gone afterwards. */
export function benchStage() {
  const folder = mkdtempSync(join(tmpdir(), 'boardwright-bench-'))
  const demo = join(folder, 'demo.boardwright')
  let copies = 0
  let workshop = ''
  let terminal: TmuxTerminal | undefined

  beforeAll(async () => {
    const made = await runCommand(['demo', '--file', demo])
    expect(made.code, made.stderr).toBe(0)
  }, 300_000)
  beforeEach(() => {
    copies++
    workshop = join(folder, `copy-${copies}.boardwright`)
    copyFileSync(demo, workshop)
  })
  afterEach(() => {
    terminal?.close()
    terminal = undefined
  })
  afterAll(() => rmSync(folder, { recursive: true, force: true }))

  return {
    /** Path of this test's workshop. */
    workshop: () => workshop,
    open(size: { columns: number; rows: number }, options: { more?: string; env?: Record<string, string> } = {}) {
      const line = `${process.execPath} ${command} open --speed 20 --file ${workshop} ${options.more ?? ''}`
      terminal = openTmux({ command: line, ...size, env: options.env ?? {} })
      return terminal
    },
    /** What a command says as JSON about this test's workshop. */
    json: async (...args: string[]) => JSON.parse((await runCommand([...args, '--json', '--file', workshop])).stdout),
  }
}
