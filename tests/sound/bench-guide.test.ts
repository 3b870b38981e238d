import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { RigSettings } from '@boardwright/core'
import { openStore } from '@boardwright/core/store'
import { makeWorkshop } from '@boardwright/core/workshop'
import { afterAll, afterEach, beforeAll, expect, test } from 'vitest'
import { command } from '../command-run.ts'
import { openTmux, type TmuxTerminal } from '../tmux-terminal.ts'
import {
  type Board,
  boards,
  equaliserProduct,
  makeBoard,
  makeWorkshopFile,
  runBoardwright,
} from './bench-on-server.mjs'
import { type SoundServer, startSoundServer } from './sound-server.mjs'

// The set-up guide of the bench in a real terminal, on a real sound server.

const folder = mkdtempSync(join(tmpdir(), 'boardwright-guide-'))
const file = join(folder, 'workshop.boardwright')
let server: SoundServer
let board: Board
let terminal: TmuxTerminal | undefined

beforeAll(async () => {
  server = await startSoundServer()
  board = makeBoard(server)
  board.put(boards.wire)
  server.control('set-default-sink', 'rig')
  server.control('set-default-source', 'rig_in')
  makeWorkshopFile(file, equaliserProduct())
})
afterEach(() => {
  terminal?.close()
  terminal = undefined
})
afterAll(async () => {
  await server?.stop()
  rmSync(folder, { recursive: true, force: true })
})

const openBench = (size: { columns: number; rows: number }) => {
  const env = Object.fromEntries(Object.entries(server.environment).flatMap(([k, v]) => (v ? [[k, v]] : [])))
  terminal = openTmux({ command: `${process.execPath} ${command} open --rig sound --file ${file}`, ...size, env })
  return terminal
}

function versions(): RigSettings[] {
  const workshop = makeWorkshop({ store: openStore(file), station: 'test' })
  try {
    return workshop.rig.history()
  } finally {
    workshop.close()
  }
}

/** Presses a key until the screen shows something; each time it waits until the screen has changed, as a person does. */
async function pressUntil(bench: TmuxTerminal, key: string, sight: RegExp) {
  for (let tries = 0; tries < 12; tries++) {
    const before = bench.screen()
    if (sight.test(before)) return
    bench.keys(key)
    for (let waits = 0; waits < 200 && bench.screen() === before; waits++)
      await new Promise((resolve) => setTimeout(resolve, 50))
  }
  expect(bench.screen()).toMatch(sight)
}
const toLine = (bench: TmuxTerminal, line: RegExp) => pressUntil(bench, 'Down', line)
const send = /› (store and go on|play the tone|play and measure)/

test('a rig that was never set up is set up in eight steps; leaving half-way keeps what is done', async () => {
  const bench = openBench({ columns: 80, rows: 24 })
  // 1: devices. The default ones are offered; the output is changed to the wire.
  await bench.until(/1 of 8 {2}Devices[\s\S]*› Output +‹ rig ›/)
  await pressUntil(bench, 'Left', /‹ board ›/)
  await toLine(bench, send)
  bench.keys('Enter')
  // 2: limit.
  await bench.until(/2 of 8 {2}Limit and caution {3}version 1[\s\S]*Take headphones off/)
  bench.keys('BSpace', 'BSpace')
  bench.text('16')
  await bench.until(/Level limit, dBFS +-16/)
  await toLine(bench, send)
  bench.keys('Enter')
  // 3: levels. Before the first sound the caution must be confirmed.
  await bench.until(/3 of 8 {2}Levels in volts {3}version 2/)
  await toLine(bench, /› play the tone/)
  bench.keys('Enter')
  await bench.until(/⚠ Take headphones off[\s\S]*Enter {2}go on/)
  expect(server.control('list', 'short', 'sink-inputs')).not.toMatch(/protocol-native/)
  bench.keys('Enter')
  await bench.until(/● a tone of 200 Hz plays for 10 s/)
  await bench.until(/The tone was played at −16\.0 dBFS and came back at −16\.0 dBFS/)
  await bench.until(/› The meter shows/)
  bench.text('158.5 mV')
  await bench.until(/158\.5 mV/)
  await toLine(bench, send)
  bench.keys('Enter')
  await bench.until(/4 of 8 {2}Loop-back correction {3}version 3/)
  // Left here, what was done is there.
  bench.keys('Escape')
  await bench.until(/next to test|No unit waits/)
  const [newest] = versions()
  expect(newest).toMatchObject({ version: 3, maxLevelDbfs: -16, output: { device: 'board' }, correction: null })
  // 0.1585 V r.m.s. is 0.22415 V peak; at -16 dBFS that is 0.15849 of full scale.
  expect(newest.calibration?.fullScaleOutV).toBeCloseTo(1.4143, 3)

  // Taken up again with one key, a step is reached by Tab.
  bench.keys('g')
  await bench.until(/1 of 8/)
  for (let step = 2; step <= 4; step++) {
    bench.keys('Tab')
    await bench.until(new RegExp(`${step} of 8`))
  }
  bench.keys('Enter')
  await bench.until(/● playing the sweep/)
  await bench.until(/✓ Loop-back correction: measured/)
  bench.keys('Tab')
  await bench.until(/5 of 8/)
  bench.keys('Enter')
  await bench.until(/✓ Input noise: .*loudest tone −16\.0 dBFS/)
  await bench.until(/too loud\. Turn the\s+input down/)
  bench.keys('Tab')
  await bench.until(/6 of 8/)
  bench.keys('Enter')
  await bench.until(/✓ Mains hum: none/)
  bench.keys('Tab')
  await bench.until(/7 of 8/)
  bench.keys('Down')
  await bench.until(/› Source resistance/)
  bench.text('150')
  bench.keys('Down')
  await bench.until(/› Load resistance/)
  bench.text('10k')
  await bench.until(/10k/)
  await toLine(bench, send)
  bench.keys('Enter')
  const summary = await bench.until(/8 of 8 {2}Summary {3}version 7/)
  expect(summary).toMatch(/is stored and complete/)
  expect(summary).toMatch(/source 150 Ω, load 10 kΩ/)
  bench.keys('BTab')
  await bench.until(/7 of 8/)
  bench.keys('Escape')
  await bench.until(/No unit waits|next to test/)
  bench.keys('q')
  await bench.until(/exit code 0/)
  expect(versions()).toHaveLength(7)
}, 180_000)

test('what goes wrong is said in the step, and nothing is stored', async () => {
  const before = versions().length
  const bench = openBench({ columns: 120, rows: 40 })
  await bench.until(/No unit waits|next to test/)
  bench.keys('g')
  await bench.until(/1 of 8/)
  for (let step = 2; step <= 4; step++) {
    await pressUntil(bench, 'Tab', new RegExp(`${step} of 8`))
  }
  board.put(boards.min)
  bench.keys('Enter')
  await bench.until(/⚠ Take headphones off/)
  bench.keys('Enter')
  await bench.until(/✗ The correction was not stored: its gain varies by/)
  bench.keys('Enter')
  await bench.until(/● playing the sweep/)
  bench.keys('Escape')
  await bench.until(/› play and measure[\s\S]*Shift-Tab/)
  board.takeOut()
  bench.keys('Enter')
  await bench.until(/✗ The output "board" of the rig is not there/)
  board.put(boards.wire)
  expect(versions()).toHaveLength(before)
}, 120_000)

test('the bench tests on the rig: caution, knobs by hand, contact problem and what to do', async () => {
  const how = { environment: server.environment, file }
  const words = ['reference', 'add', '--rig', 'sound', '--runs', '1', '--yes', '--despite-contact']
  expect((await runBoardwright(words, { ...how, board })).code).toBe(0)
  const nowhere = server.load(server.nullSink('nowhere', 48_000))
  board.put(boards.max, 'nowhere')
  const bench = openBench({ columns: 80, rows: 24 })
  await bench.until(/No unit waits|next to test/)
  bench.text('PLV-0001')
  bench.keys('Enter')
  await bench.until(/Enter tests it/)
  await new Promise((resolve) => setTimeout(resolve, 400))
  bench.keys('Enter')
  await bench.until(/⚠ Before the first sound/)
  bench.keys('Enter')
  const told = await bench.until(/No sweep yet: contact check at "max"/)
  expect(told).toMatch(/m {2}measure all the same/)
  board.put(boards.max)
  bench.keys('Enter')
  await bench.until(/playing the sweep/)
  await bench.until(/Set: Bass and treble at minimum/)
  board.put(boards.min)
  bench.keys('Enter')
  await bench.until(/✓ PLV-0001 \(new unit\): ready/)
  bench.keys('q')
  await bench.until(/exit code 0/)
  server.control('unload-module', String(nowhere))
}, 180_000)
