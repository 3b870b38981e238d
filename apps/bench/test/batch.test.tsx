import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { makeSweep, type Product } from '@boardwright/core'
import type { RigDriver } from '@boardwright/core/audio'
import { openStore } from '@boardwright/core/store'
import { makeWorkshop, type Workshop } from '@boardwright/core/workshop'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { filter, recordingOf, toneBoard } from '../../../tests/tone-board.ts'
import { loadPlover } from '../src/plover.ts'
import { BatchApp } from '../src/screens/batch-app.tsx'
import { nextInOrder, serialAfter } from '../src/session/batch-order.ts'
import { makeBatchRecorder } from '../src/session/batch-recorder.ts'
import { commandWords } from '../src/session/print-label.ts'
import { type BatchResult, median, summaryLines } from '../src/text/batch-words.ts'
import { showInTerminal, type TestTerminal } from './terminal.ts'

// A real workshop file and real labels; the rig answers with boards made of an independent filter, without waiting.
let folder: string
let workshop: Workshop
let product: Product
let terminal: TestTerminal | undefined

type Tone = { rateHz: number; bass: number; treble: number }
const healthy: Tone = { rateHz: 48_000, bass: 3.2, treble: 4 }
const settings = ['max', 'min', 'centre'] as const
const audioOf = (tone: Tone, setting: (typeof settings)[number], seed: number) => ({
  rateHz: 48_000,
  channels: [recordingOf(filter(toneBoard(tone, setting), makeSweep(product.testPlan.stimulus).samples), { seed })],
  sampleFormat: 'float32' as const,
  bits: 32,
  truncated: false,
})

/** Boards by the order in which they are put in: the rig does not know serial numbers. */
let boards: Tone[]
let plays = 0
const rig: RigDriver = {
  kind: 'sound-interface',
  async run({ setting, onProgress }) {
    plays++
    onProgress?.({ fraction: 0.5, activity: 'playing the sweep' })
    const tone = setting === 'max' ? boards[0] : boards.shift()
    return { audio: audioOf(tone ?? healthy, setting as 'max', plays), origin: 'test' }
  },
}

const open = (size = { columns: 80, rows: 24 }, printCommand?: string) => {
  const way = { folder: join(folder, 'labels'), printCommand }
  const recorder = makeBatchRecorder({ workshop, way })
  const diagnosing = { show: workshop.diagnosis, ask: workshop.diagnoseRun }
  const bench = { workshop, product, rig, rigLabel: 'a rig', diagnosing }
  terminal = showInTerminal(<BatchApp bench={bench} recorder={recorder} />, size)
  return terminal
}
const pause = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms))
/** A foot that comes back: a press right after the screen has changed would be a bounce. */
const pedal = async (key = ' ') => {
  await pause(800)
  terminal?.type(key)
}

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'boardwright-batch-'))
  workshop = makeWorkshop({ store: openStore(join(folder, 'shop.boardwright'), { create: true }), station: 'bench-1' })
  const plover = loadPlover()
  product = workshop.addProduct({
    ...plover,
    testPlan: { ...plover.testPlan, stimulus: { ...plover.testPlan.stimulus, durationS: 1 } },
  })
  const recordings = settings.flatMap((setting, i) =>
    [1, 2].map((run) => ({ setting, origin: `${setting}${run}`, audio: audioOf(healthy, setting, 10 * run + i) })),
  )
  workshop.addReference({ recordings })
  for (const serial of ['PLV-0001', 'PLV-0002']) workshop.registerUnit({ serial })
})
afterEach(() => {
  terminal?.close()
  terminal = undefined
  workshop.close()
  rmSync(folder, { recursive: true, force: true })
})

describe('batch', () => {
  it('goes on from board to board with one pedal, sets a fail aside, and makes labels of what passed', async () => {
    boards = [
      { ...healthy, bass: 3.25 },
      { ...healthy, bass: 9 },
      { ...healthy, treble: 4.1 },
    ]
    const screen = open()
    await screen.until(/PLV-0001.*untested/)
    await screen.until(/Before the first sound|Swap the board/)
    await pedal()
    await screen.until(/Take headphones off/)
    await pedal('\r')
    const first = await screen.until(/✓ PASS {2}PLV-0001 {2}take it out/)
    expect(first).toMatch(/Board {2}PLV-0002/)
    await pedal('\r')
    const second = await screen.until(/✗ FAIL {2}PLV-0002 {2}SET IT ASIDE/)
    expect(second).toMatch(/Board {2}PLV-0003 .*not known yet/)
    await pedal()
    await screen.until(/✓ PASS {2}PLV-0003/)
    await pause(400)
    screen.type('e')
    const summary = await screen.until(/3 boards: 2 pass, 1 fail, 0 to repeat/)
    expect(summary).toMatch(/Board time \d+\.\d s in the middle/)
    expect(summary.indexOf('✗ PLV-0002')).toBeLessThan(summary.indexOf('✓ PLV-0001'))
    expect(['PLV-0001', 'PLV-0002', 'PLV-0003'].map((serial) => workshop.unit(serial).unit.state)).toEqual([
      'ready',
      'failed',
      'ready',
    ])
    for (const serial of ['PLV-0001', 'PLV-0003'])
      expect(
        readFileSync(join(folder, 'labels', `${serial}.pdf`))
          .subarray(0, 5)
          .toString(),
      ).toBe('%PDF-')
    expect(existsSync(join(folder, 'labels', 'PLV-0002.pdf'))).toBe(false)
  })

  it('notices a board that was not swapped, and stores nothing before somebody has looked', async () => {
    const one = { ...healthy, bass: 3.25 }
    boards = [one, one, { ...healthy, bass: 3.1 }]
    const screen = open({ columns: 120, rows: 40 })
    await screen.until(/PLV-0001.*untested/)
    await pedal()
    await screen.until(/✓ PASS {2}PLV-0001/)
    await pedal()
    const alike = await screen.until(/PLV-0002: is this still PLV-0001\?/)
    expect(alike).toMatch(/Nothing is\s+stored\s+yet/)
    expect(workshop.unit('PLV-0002').runs).toHaveLength(0)
    await pedal()
    await screen.until(/✓ PASS {2}PLV-0002/)
    expect(workshop.unit('PLV-0002').runs).toHaveLength(1)
  })

  it('a printer that fails takes no verdict with it', async () => {
    boards = [{ ...healthy, bass: 3.25 }]
    const screen = open({ columns: 120, rows: 40 }, 'sh -c "echo out of labels >&2; exit 3"')
    await screen.until(/PLV-0001.*untested/)
    await pedal()
    await screen.until(/✓ PASS {2}PLV-0001/)
    await screen.until(/no label: "sh" refused the label \(3\): out of labels/)
    expect(workshop.unit('PLV-0001').unit.state).toBe('ready')
    expect(existsSync(join(folder, 'labels', 'PLV-0001.pdf'))).toBe(true)
  })

  it('takes a scanned serial number instead of the next one', async () => {
    boards = [{ ...healthy, bass: 3.25 }]
    const screen = open()
    await screen.until(/PLV-0001.*untested/)
    screen.type('qx-77\r')
    await screen.until(/Board {2}QX-77/)
    await pedal()
    await screen.until(/✓ PASS {2}QX-77/)
    expect(workshop.unit('QX-77').unit.state).toBe('ready')
  })
})

describe('order and words of a batch', () => {
  it('counts serial numbers on, whatever stands before them', () => {
    expect(serialAfter('PLV-0042')).toBe('PLV-0043')
    expect(serialAfter('A9')).toBe('A10')
    expect(serialAfter('99')).toBe('100')
    expect(serialAfter('X-09999999999999999999')).toBe('X-10000000000000000000')
    expect(serialAfter('NO-NUMBER')).toBeUndefined()
  })
  it('offers what waits, and what comes after the last', () => {
    expect(nextInOrder(workshop, product.id, [])).toBe('PLV-0001')
    expect(nextInOrder(workshop, product.id, ['PLV-0001'])).toBe('PLV-0002')
    expect(nextInOrder(workshop, product.id, ['PLV-0001', 'PLV-0002'])).toBe('PLV-0003')
  })
  it('takes a print command apart as a shell would', () => {
    expect(commandWords('lp -d "label printer" -o media=50x20mm')).toEqual([
      'lp',
      '-d',
      'label printer',
      '-o',
      'media=50x20mm',
    ])
    expect(commandWords("  sh -c 'a b'")).toEqual(['sh', '-c', 'a b'])
    expect(commandWords('')).toEqual([])
  })
  it('sums up', () => {
    const result = (serial: string, verdict: BatchResult['verdict'], boardS: number): BatchResult => ({
      serial,
      verdict,
      boardS,
      reason: 'r',
      newUnit: false,
      label: null,
    })
    expect(median([3, 1, 2])).toBe(2)
    expect(median([4, 1, 2, 3])).toBe(2.5)
    expect(summaryLines([])).toEqual(['No board was measured.'])
    expect(summaryLines([result('A', 'pass', 18.2), result('B', 'fail', 17.6), result('C', 'repeat', 20)])).toEqual([
      '3 boards: 1 pass, 1 fail, 1 to repeat.',
      'Board time 18.2 s in the middle, 17.6 to 20.0 s.',
    ])
  })
})
