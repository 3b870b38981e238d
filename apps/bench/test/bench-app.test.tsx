import { mkdirSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { makeSweep, type Product } from '@boardwright/core'
import { makeWatchedFolder } from '@boardwright/core/audio'
import { openStore } from '@boardwright/core/store'
import { makeWorkshop, type Workshop } from '@boardwright/core/workshop'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { filter, recordingOf, toneBoard, writeFloatWave } from '../../../tests/tone-board.ts'
import { loadPlover } from '../src/plover.ts'
import { BenchApp } from '../src/screens/bench-app.tsx'
import { showInTerminal, type TestTerminal } from './terminal.ts'

// A real workshop file, a real watched folder with real WAV files; Ink writes to a terminal emulator of a set size.
let folder: string
let workshop: Workshop
let product: Product
let terminal: TestTerminal

const healthy = { rateHz: 48_000, bass: 3.2, treble: 4 }
const settings = ['max', 'min', 'centre'] as const

const answer = (tone: typeof healthy, setting: (typeof settings)[number], seed: number) =>
  recordingOf(filter(toneBoard(tone, setting), makeSweep(product.testPlan.stimulus).samples), { seed })

/** Drops the recordings of a unit into the watched folder. */
function drop(serial: string, tone: typeof healthy) {
  for (const [i, setting] of product.testPlan.settings.entries())
    writeFloatWave(join(folder, 'rig', `${serial}-${setting}.wav`), {
      rateHz: 48_000,
      samples: answer(tone, setting as 'max', 40 + i),
    })
}

const open = (size: { columns: number; rows: number }) => {
  const rig = makeWatchedFolder({
    folder: join(folder, 'rig'),
    lookEveryMs: 20,
    settle: { completeMs: 40, stalledMs: 400 },
  })
  const diagnosing = { show: workshop.diagnosis, ask: workshop.diagnoseRun }
  const bench = { workshop, product, rig, rigLabel: 'recordings dropped in a folder', diagnosing }
  terminal = showInTerminal(<BenchApp bench={bench} />, size)
  return terminal
}

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'boardwright-bench-'))
  mkdirSync(join(folder, 'rig'))
  workshop = makeWorkshop({ store: openStore(join(folder, 'shop.boardwright'), { create: true }), station: 'bench-1' })
  product = workshop.addProduct(loadPlover())
  const recordings = settings.flatMap((setting, i) =>
    [1, 2].map((run) => ({
      setting,
      origin: `${setting}${run}`,
      audio: {
        rateHz: 48_000,
        channels: [answer(healthy, setting, 10 * run + i)],
        sampleFormat: 'float32' as const,
        bits: 32,
        truncated: false,
      },
    })),
  )
  workshop.addReference({ recordings })
  for (const serial of ['PLV-0001', 'PLV-0002', 'QX-3']) workshop.registerUnit({ serial })
})
afterEach(() => {
  terminal?.close()
  workshop.close()
  rmSync(folder, { recursive: true, force: true })
})

describe.each([
  { columns: 80, rows: 24 },
  { columns: 120, rows: 40 },
])('bench at $columns x $rows', (size) => {
  it('one key tests the next unit, and the verdict fills the width', async () => {
    open(size)
    await terminal.until(/PLV-0001.*next to test/)
    terminal.type('\r')
    await terminal.until(/waiting for PLV-0001-max\.wav/)
    drop('PLV-0001', healthy)
    const seen = await terminal.until(/✓ PLV-0001: ready/)
    const inked = seen.split('\n').filter((line) => /█{2}/.test(line))
    expect(inked.length).toBeGreaterThanOrEqual(7)
    expect(Math.max(...inked.map((line) => line.length))).toBeGreaterThan(size.columns * 0.85)
    expect(workshop.unit('PLV-0001').unit.state).toBe('ready')
    terminal.type('\r')
    await terminal.until(/PLV-0002.*next to test/)
  })

  it('a dull board fails, with the reason in words, and its curves one key away', async () => {
    drop('PLV-0001', { ...healthy, treble: 1.2 })
    open(size)
    await terminal.until(/next to test/)
    terminal.type(' ')
    const seen = await terminal.until(/✗ PLV-0001: failed/)
    expect(seen).toMatch(/treble is \S+ dB too low/)
    terminal.type('\x1b[C')
    const curves = await terminal.until(/✗ FAIL.*PLV-0001/)
    expect(curves).toMatch(/▼{3}/)
    expect(curves).toMatch(/[⠁-⣿]{10}/)
  })

  it('keeps every line inside the window, whatever is shown', async () => {
    open(size)
    await terminal.until(/next to test/)
    for (const keys of ['', '?', 'x', '\t', '\r']) {
      terminal.type(keys)
      await new Promise((resolve) => setTimeout(resolve, 120))
      const lines = await terminal.lines()
      expect(lines[0]).toMatch(/^ (Test|Help|Units|Unit) /)
      expect(lines.at(-1)).toBe('')
      expect(lines.at(-2)).not.toBe('')
    }
  })
})

describe('serial numbers', () => {
  it('a scan takes a unit, also one that begins with q, and Enter then tests it', async () => {
    open({ columns: 80, rows: 24 })
    await terminal.until(/next to test/)
    terminal.type('q')
    terminal.type('x-3\r')
    await terminal.until(/QX-3[\s\S]*Enter tests it/)
    await new Promise((resolve) => setTimeout(resolve, 400))
    terminal.type('\r')
    await terminal.until(/waiting for QX-3-max\.wav/)
  })

  it('says that a serial number is not known before anything is tested', async () => {
    open({ columns: 80, rows: 24 })
    await terminal.until(/next to test/)
    terminal.type('PLV-7777\r')
    // At the smallest size the line still ends with what the key does.
    await terminal.until(/not known yet.*Enter tests it\./)
    expect(workshop.units()).toHaveLength(3)
  })
})

describe('leaving and stopping', () => {
  it('Esc stops a run and stores nothing', async () => {
    open({ columns: 80, rows: 24 })
    await terminal.until(/next to test/)
    terminal.type('\r')
    await terminal.until(/waiting for/)
    terminal.type('\x1b')
    await terminal.until(/next to test/)
    expect(workshop.unit('PLV-0001').runs).toEqual([])
  })

  it('q leaves', async () => {
    open({ columns: 80, rows: 24 })
    await terminal.until(/next to test/)
    terminal.type('q')
    await terminal.exited
  })

  it('q while a unit is measured does not leave', async () => {
    open({ columns: 80, rows: 24 })
    await terminal.until(/next to test/)
    terminal.type('\r')
    await terminal.until(/waiting for/)
    terminal.type('q')
    await new Promise((resolve) => setTimeout(resolve, 500))
    expect(await terminal.text()).toMatch(/waiting for/)
  })
})

describe('the window', () => {
  it('says in a line that it is too small, and what was typed survives', async () => {
    open({ columns: 100, rows: 30 })
    await terminal.until(/next to test/)
    terminal.type('PLV-00')
    await terminal.until(/PLV-00▏/)
    terminal.resize({ columns: 60, rows: 20 })
    await terminal.until(/needs 80 x 24 characters; this window has 60 x 20/)
    terminal.resize({ columns: 80, rows: 24 })
    const seen = await terminal.until(/PLV-00▏/)
    expect(seen).not.toMatch(/needs 80/)
    terminal.type('02\r')
    await terminal.until(/PLV-0002[\s\S]*Enter tests it/)
  })

  it('a verdict survives, at every size', async () => {
    drop('PLV-0001', healthy)
    open({ columns: 80, rows: 24 })
    await terminal.until(/next to test/)
    terminal.type('\r')
    await terminal.until(/✓ PLV-0001: ready/)
    for (const size of [
      { columns: 160, rows: 50 },
      { columns: 80, rows: 24 },
    ]) {
      terminal.resize(size)
      await terminal.until(/✓ PLV-0001: ready/)
    }
  })
})

describe('other programs', () => {
  it('a unit that another program registers appears in the list', async () => {
    open({ columns: 80, rows: 24 })
    await terminal.until(/next to test/)
    terminal.type('\t')
    await terminal.until(/3 units: 3 untested/)
    const other = makeWorkshop({ store: openStore(workshop.file), station: 'desk' })
    other.registerUnit({ serial: 'PLV-0500' })
    other.close()
    await terminal.until(/PLV-0500/)
  })
})
