import { join } from 'node:path'
import { expect, test } from 'vitest'
import { openStore } from '../../src/store/open-store.ts'
import { bundledChild, startChild } from './built-child.ts'
import { temporaryFolder } from './temporary-folder.ts'

const writer = bundledChild('write-units.ts')

/** Waits until the program has printed this many lines, or has ended. */
async function printedLines({ child, ended }: ReturnType<typeof startChild>, count: number): Promise<void> {
  let lines = 0
  const printed = new Promise<void>((resolve) => {
    child.stdout?.on('data', (part: string) => {
      lines += part.split('\n').length - 1
      if (lines >= count) resolve()
    })
  })
  await Promise.race([printed, ended])
}

const committed = (stdout: string): string[] => stdout.split('\n').filter((line) => line.includes('-'))

test('two programs create and write one file at the same time, and nothing is lost or refused', async () => {
  const file = join(temporaryFolder(), 'workshop.boardwright')
  const programs = ['BENCH', 'DESK', 'HOOK'].map((name) => startChild(writer.path, [file, name, '60']))
  const ends = await Promise.all(programs.map((program) => program.ended))
  for (const end of ends) expect(end, end.stderr).toMatchObject({ code: 0, stderr: '' })

  const store = openStore(file)
  expect(store.units.list({}).length).toBe(180)
  expect(store.testRuns.ids().length).toBe(180)
  // Two entries a unit, in one sequence without a gap although three programs wrote it.
  expect(store.journal.lastSeq()).toBe(360)
  expect(store.defects()).toEqual([])
  store.close()
})

test('a reader keeps one unchanging view while another program writes, and its version number moves', async () => {
  const file = join(temporaryFolder(), 'workshop.boardwright')
  const store = openStore(file, { create: true })
  const before = store.dataVersion()
  expect(store.dataVersion()).toBe(before)
  const program = startChild(writer.path, [file, 'BENCH', '40'])
  const seen: number[] = []
  let isRunning = true
  const ended = program.ended.finally(() => {
    isRunning = false
  })
  while (isRunning) {
    store.snapshot(() => {
      const units = store.units.list({}).length
      // Other statements of the same view agree with the first, however many commits came between.
      expect(store.testRuns.ids().length).toBe(units)
      expect(store.journal.lastSeq()).toBe(2 * units)
      seen.push(units)
    })
    await new Promise((resolve) => setTimeout(resolve, 1))
  }
  expect((await ended).code).toBe(0)
  expect(store.dataVersion()).toBeGreaterThan(before)
  expect(new Set(seen).size).toBeGreaterThan(1)
  store.close()
})

test('a program killed in the middle of writing leaves whole units only, and all that it had confirmed', async () => {
  const file = join(temporaryFolder(), 'workshop.boardwright')
  const confirmed: string[] = []
  for (let round = 0; round < 12; round++) {
    const program = startChild(writer.path, [file, `K${round}`, '100000'])
    await printedLines(program, 2 + (round % 4))
    // Another moment each round, so that the kill meets all parts of a transaction.
    await new Promise((resolve) => setTimeout(resolve, round * 0.7))
    program.child.kill('SIGKILL')
    const end = await program.ended
    expect(end.signal, end.stderr).toBe('SIGKILL')
    confirmed.push(...committed(end.stdout))

    const store = openStore(file)
    expect(store.defects()).toEqual([])
    const units = store.units.list({})
    for (const unit of units) {
      expect(unit).toMatchObject({ state: 'ready', lastRunId: `R-${unit.serial}` })
      expect(store.testRuns.find(`R-${unit.serial}`)?.measurements.length).toBe(2)
      expect(store.testRuns.impulseResponses(`R-${unit.serial}`).length).toBe(2)
    }
    expect(store.journal.lastSeq()).toBe(2 * units.length)
    expect(units.map((unit) => unit.serial)).toEqual(expect.arrayContaining(confirmed))
    store.close()
  }
  // Each round had confirmed one unit at least before it was killed.
  expect(confirmed.length).toBeGreaterThanOrEqual(12)
}, 120_000)
