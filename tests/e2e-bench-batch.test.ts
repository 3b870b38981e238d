import { execFileSync } from 'node:child_process'
import { existsSync, mkdtempSync, readdirSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, afterEach, beforeAll, describe, expect, it, vi } from 'vitest'
import { command, runCommand } from './command-run.ts'
import { openTmux, type TmuxTerminal } from './tmux-terminal.ts'

// The built batch and the built hard command, on a demo workshop and the simulated rig, in a real terminal (tmux).
vi.setConfig({ testTimeout: 300_000, hookTimeout: 300_000 })
const folder = mkdtempSync(join(tmpdir(), 'boardwright-batch-e2e-'))
const workshop = join(folder, 'demo.boardwright')
let terminal: TmuxTerminal | undefined

const run = (...args: string[]) => runCommand([...args, '--file', workshop])
const pause = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms))

beforeAll(async () => {
  const made = await run('demo')
  expect(made.code, made.stderr).toBe(0)
})
afterEach(() => {
  terminal?.close()
  terminal = undefined
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

describe('batch in a terminal', () => {
  it('tests two boards, prints their labels while it goes on, and sums up', async () => {
    const printed = join(folder, 'printed')
    execFileSync('mkdir', [printed])
    terminal = openTmux({
      command: `${process.execPath} ${command} batch --speed 20 --file ${workshop} --print-command 'cp -t ${printed}'`,
      columns: 80,
      rows: 24,
    })
    const wide = 240_000
    await terminal.until(/Board {2}PLV-0008/, wide)
    await pause(900)
    terminal.keys('Space')
    const first = await terminal.until(/✓ PASS {2}PLV-0008 {2}take it out/, wide)
    expect(first).toMatch(/Board {2}PLV-0009/)
    await pause(900)
    terminal.text('PLV-0010')
    terminal.keys('Enter')
    await terminal.until(/Board {2}PLV-0010/)
    await pause(900)
    terminal.keys('Space')
    await terminal.until(/(PASS|FAIL|REPEAT) {2}PLV-0010|No sweep yet/, wide)
    terminal.keys('Escape')
    await pause(900)
    terminal.keys('q')
    await terminal.until(/exit code 0/, wide)
    const list = JSON.parse((await run('unit', 'list', '--json')).stdout).units as { serial: string; state: string }[]
    expect(list.find((unit) => unit.serial === 'PLV-0008')?.state).toBe('ready')
    expect(readdirSync(printed)).toContain('PLV-0008.pdf')
    expect(existsSync(join(folder, 'labels', 'PLV-0008.pdf'))).toBe(true)
    expect((await run('check')).code).toBe(0)
  })
})

describe('boardwright hard', () => {
  it('presses the reference and a unit, shows the run again, and names what is missing', async () => {
    const before = await run('hard', '--unit', 'PLV-0001')
    expect(before.code).toBe(2)
    expect(before.stderr).toContain('has not been pressed hard yet')
    const reference = await run('hard', '--reference', '--takes', '2', '--json')
    expect(reference.code, reference.stderr).toBe(0)
    expect(JSON.parse(reference.stdout)).toMatchObject({ version: 1, productId: 'plover' })
    const pressed = await run('hard', '--unit', 'PLV-0001', '--json')
    expect(pressed.code, pressed.stderr).toBe(0)
    const result = JSON.parse(pressed.stdout)
    expect(result).toMatchObject({ serial: 'PLV-0001', verdict: 'pass', state: 'ready' })
    expect(result.judgement.character).toHaveLength(2)
    const shown = await run('hard', '--unit', 'PLV-0001', '--show')
    expect(shown.stdout).toMatch(/✓ PASS {2}PLV-0001 pressed hard; it is ready\.\n/)
    expect(shown.stdout).toContain('clips at 110 Hz from')
    const failed = await run('hard', '--unit', 'PLV-0002', '--fault', 'value:R2=33k')
    expect(failed.code).toBe(1)
    expect(failed.stdout).toContain('the lower half is held')
    const stimuli = await run('hard', '--stimuli', join(folder, 'sounds'))
    expect(stimuli.code, stimuli.stderr).toBe(0)
    expect(readdirSync(join(folder, 'sounds')).sort()).toEqual(['plover-hard-ladder.wav', 'plover-hard-sweep.wav'])
  })
})
