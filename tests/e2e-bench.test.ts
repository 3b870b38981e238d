import { describe, expect, it } from 'vitest'
import { benchStage } from './bench-stage.ts'
import type { TmuxTerminal } from './tmux-terminal.ts'

// The built bench in a real terminal (tmux), on a demo workshop and the simulated rig.
const stage = benchStage()
const open = (size: { columns: number; rows: number }, env: Record<string, string> = {}, more = '') =>
  stage.open(size, { more, env })
const units = async () => (await stage.json('unit', 'list')).units

const sgr = new RegExp(`${String.fromCharCode(27)}\\[([0-9;:]*)m`, 'g')

/** Numbers of the colours in a captured screen: SGR 30-38, 40-48, 90-97, 100-107 of ECMA-48. */
const colours = (screen: string): string[] =>
  [...screen.matchAll(sgr)]
    .flatMap(([, numbers]) => numbers.split(';')[0])
    .filter((number) => /^(3[0-8]|4[0-8]|9[0-7]|10[0-7])$/.test(number))

describe.each([
  { columns: 80, rows: 24 },
  { columns: 120, rows: 40 },
])('the bench at $columns x $rows', (size) => {
  it('one key tests the next unit; its verdict fills the screen and is stored', async () => {
    const bench = open(size)
    const ready = await bench.until(/next to test/)
    expect(ready).toMatch(/SIMULATED RIG/)
    expect(ready).toMatch(/loud/)
    const serial = /Unit +(\S+) +next to test/.exec(ready)?.[1]
    bench.keys('Enter')
    await bench.until(/playing the sweep/)
    const verdict = await bench.until(/[✓✗↻] PLV-\d+: \w+/)
    expect(verdict).toContain(`${serial}: ready`)
    expect(verdict).toMatch(/SIMULATED RIG/)
    const inked = verdict.split('\n').filter((line) => /█{2}/.test(line))
    expect(inked.length).toBeGreaterThanOrEqual(7)
    expect(Math.max(...inked.map((line) => line.length))).toBeGreaterThan(size.columns * 0.85)
    bench.keys('Right')
    expect(await bench.until(/✓ PASS/)).toMatch(/[⠁-⣿]{10}/)
    bench.keys('q')
    await bench.until(/exit code 0/)
    expect((await units()).find((unit: { serial: string }) => unit.serial === serial).state).toBe('ready')
  })
})

describe('colour is not needed', () => {
  it('NO_COLOR: no colour at all, and a fault is still a FAIL plate with its reason', async () => {
    const bench = open({ columns: 80, rows: 24 }, { NO_COLOR: '1' }, '--fault value:C7=3.3nF')
    await bench.until(/next to test/)
    expect(colours(bench.screen({ escapes: true }))).toEqual([])
    bench.keys('Space')
    const verdict = await bench.until(/✗ PLV-\d+: failed/)
    expect(verdict).toMatch(/╳{20}/)
    expect(verdict).toMatch(/dB .*limit/s)
    expect(colours(bench.screen({ escapes: true }))).toEqual([])
  })

  it('with colour, it uses it', async () => {
    const bench = open({ columns: 80, rows: 24 }, { TERM: 'xterm-256color' })
    await bench.until(/next to test/)
    expect(colours(bench.screen({ escapes: true })).length).toBeGreaterThan(0)
  })
})

describe('manners', () => {
  it('survives resizing in the middle of a run', async () => {
    const bench = open({ columns: 100, rows: 30 })
    await bench.until(/next to test/)
    bench.keys('Enter')
    await bench.until(/playing the sweep/)
    bench.resize({ columns: 50, rows: 12 })
    await bench.until(/needs 80 x 24/)
    bench.resize({ columns: 90, rows: 28 })
    const verdict = await bench.until(/[✓✗↻] PLV-\d+: \w+/)
    expect(verdict.trimEnd().split('\n').length).toBeLessThanOrEqual(28)
    expect(verdict).not.toMatch(/needs 80/)
  })

  it.each([
    ['Ctrl-C', (bench: TmuxTerminal) => bench.keys('C-c')],
    ['q', (bench: TmuxTerminal) => bench.keys('q')],
  ])('%s gives the terminal back as it was', async (_, leave) => {
    const bench = open({ columns: 80, rows: 24 })
    await bench.until(/next to test/)
    leave(bench)
    const after = await bench.until(/exit code 0/)
    expect(after).toMatch(/The bench is closed; everything is stored/)
    expect(after).not.toMatch(/next to test/)
  })

  it('a scan while a verdict stands on the screen goes on to that unit', async () => {
    const bench = open({ columns: 80, rows: 24 })
    await bench.until(/next to test|No unit waits/)
    bench.text('plv-0001')
    bench.keys('Enter')
    await bench.until(/PLV-0001[\s\S]*ready, tested/)
    await new Promise((resolve) => setTimeout(resolve, 400))
    bench.keys('Enter')
    await bench.until(/✓ PLV-0001: ready/)
    bench.text('new-77')
    await bench.until(/NEW-77▏/)
  })
})
