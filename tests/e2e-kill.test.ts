import { mkdtempSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as pause } from 'node:timers/promises'
import { openStore } from '@boardwright/core/store'
import { makeWorkshop } from '@boardwright/core/workshop'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { uniformDraws } from '../packages/core/test/response/seeded-noise.ts'
import { runCommand, startCommand } from './command-run.ts'
import { filter, readFloatWave, recordingOf, toneBoard, writeFloatWave } from './tone-board.ts'

// The built command, killed with signal 9 while it judges and stores a unit.
const folder = mkdtempSync(join(tmpdir(), 'boardwright-kill-'))
const at = (name: string) => join(folder, name)
const workshop = at('shop.boardwright')
const options = { cwd: folder, env: { BOARDWRIGHT_FILE: workshop } }
const healthy = { rateHz: 48_000, bass: 3.2, treble: 4 }
const settingArgs = (name: string, settings: readonly string[]) =>
  settings.flatMap((setting) => ['--setting', `${setting}=${name}-${setting}.wav`])
const testArgs = (serial: string) => ['test', '--unit', serial, ...settingArgs('good', ['max', 'min'])]
let usualMs = 0

beforeAll(async () => {
  await runCommand(['sweep', '--out', 'sweep.wav', '--format', 'float32', '--rate', '48000', '--level', '-26'], options)
  const sweep = readFloatWave(at('sweep.wav'))
  for (const [i, setting] of (['max', 'min', 'centre'] as const).entries())
    for (const [k, name] of ['ref', 'good'].entries()) {
      const answer = filter(toneBoard(healthy, setting), sweep.samples)
      const samples = recordingOf(answer, { delaySamples: 1000 + 777 * i, seed: 10 * k + i + 1 })
      writeFloatWave(at(`${name}-${setting}.wav`), { rateHz: 48_000, samples })
    }
  const added = await runCommand(['reference', 'add', ...settingArgs('ref', ['max', 'min', 'centre'])], options)
  expect(added).toMatchObject({ code: 0 })
  const start = performance.now()
  expect(await runCommand(testArgs('PLV-0000'), options)).toMatchObject({ code: 0 })
  usualMs = performance.now() - start
}, 120_000)
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const logBytes = () => statSync(`${workshop}-wal`, { throwIfNoEntry: false })?.size ?? 0

/** Starts the test of a unit, and kills it after a time, or a moment after its first byte went to the file. */
async function killed(serial: string, when: { afterMs: number } | { afterWriteMs: number }): Promise<void> {
  const child = startCommand(testArgs(serial), options)
  const ended = new Promise<void>((resolve) => child.once('close', () => resolve()))
  let hasEnded = false
  void ended.then(() => {
    hasEnded = true
  })
  if ('afterMs' in when) await Promise.race([pause(when.afterMs), ended])
  else {
    const before = logBytes()
    while (!hasEnded && logBytes() <= before) await pause(0)
    await pause(when.afterWriteMs)
  }
  child.kill('SIGKILL')
  await ended
}

/** What a unit looks like in the file: nothing, registered, or tested with everything that belongs to it. */
function stageOf(serial: string, isChecked: boolean): 'nothing' | 'tested' | 'half' {
  const shop = makeWorkshop({ store: openStore(workshop), station: 'bench' })
  try {
    if (isChecked) expect(shop.check().findings).toEqual([])
    const unit = shop.units({ search: serial })[0]
    const verbs = shop.journalSince(0, 10_000).filter((entry) => JSON.stringify(entry).includes(serial))
    if (!unit) return verbs.length === 0 ? 'nothing' : 'half'
    const run = unit.lastRunId === null ? undefined : shop.testRun(unit.lastRunId).run
    const isWhole = run?.verdict === 'pass' && run.measurements.length === 2 && unit.state === 'ready'
    return isWhole && verbs.some((entry) => entry.verb === 'record-test-run') ? 'tested' : 'half'
  } finally {
    shop.close()
  }
}

it('a test that is killed at any moment is stored whole or not at all, 20 times', async () => {
  const draw = uniformDraws(9)
  const stages: string[] = []
  for (let k = 0; k < 20; k++) {
    const serial = `PLV-${1000 + k}`
    await killed(serial, k % 2 ? { afterMs: usualMs * (0.1 + draw()) } : { afterWriteMs: 30 * draw() * draw() })
    stages.push(stageOf(serial, k % 5 === 4))
  }
  expect(stages.filter((stage) => stage === 'half')).toEqual([])
  // Some were killed before the write was done: the kills fell where they should.
  expect(stages).toContain('nothing')
  expect(await runCommand(testArgs('PLV-9999'), options)).toMatchObject({ code: 0 })
}, 600_000)
