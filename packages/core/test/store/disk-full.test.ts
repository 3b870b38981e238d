import { execFileSync, spawnSync } from 'node:child_process'
import { copyFileSync, existsSync, mkdirSync, readdirSync } from 'node:fs'
import { join } from 'node:path'
import { expect, onTestFinished, test } from 'vitest'
import { openStore } from '../../src/store/open-store.ts'
import { bundledChild } from './built-child.ts'
import { product } from './sample-rows.ts'
import { temporaryFolder } from './temporary-folder.ts'

const filler = bundledChild('fill-disk.ts')

/** A small disk of its own, where this user may mount one (a container run by root). */
function smallDisk(folder: string, bytes: number): string | undefined {
  const disk = join(folder, 'disk')
  mkdirSync(disk)
  if (spawnSync('/bin/mount', ['-t', 'tmpfs', '-o', `size=${bytes}`, 'tmpfs', disk]).status !== 0) return undefined
  onTestFinished(() => {
    execFileSync('/bin/umount', [disk])
  })
  return disk
}

interface Outcome {
  written: number
  code: string
  message: string
}

function fill(file: string, limitKilobytes?: number): Outcome {
  const limit = limitKilobytes === undefined ? '' : `ulimit -f ${limitKilobytes}; `
  const run = spawnSync('bash', ['-c', `${limit}exec "$0" "$1" "$2"`, process.execPath, filler.path, file])
  expect(run.status, run.stderr.toString()).toBe(0)
  return JSON.parse(run.stdout.toString()) as Outcome
}

/** Everything that was said to be stored is there, whole, and nothing else is. */
function expectWhole(file: string, written: number): void {
  const store = openStore(file)
  expect(store.defects()).toEqual([])
  const units = store.units.list({})
  expect(units.length).toBe(written)
  for (const unit of units) {
    expect(unit).toMatchObject({ state: 'ready', lastRunId: `R-${unit.serial}` })
    expect(store.testRuns.impulseResponses(`R-${unit.serial}`).length).toBe(2)
  }
  store.close()
}

test('a limit on the size of the file refuses the write, with a clear error and the file unharmed', () => {
  const file = join(temporaryFolder(), 'workshop.boardwright')
  const outcome = fill(file, 4000)
  expect(outcome.code).toBe('disk-full')
  expect(outcome.message).toContain(file)
  expect(outcome.written).toBeGreaterThan(3)
  expectWhole(file, outcome.written)
})

test('a disk that runs full refuses the write, with a clear error and the file unharmed', () => {
  const folder = temporaryFolder()
  const disk = smallDisk(folder, 4_000_000)
  const file = join(disk ?? folder, 'workshop.boardwright')
  // Where no disk may be mounted, the limit of the process stands in, at another size than above.
  const outcome = disk ? fill(file) : fill(file, 7000)
  expect(outcome.code).toBe('disk-full')
  expect(outcome.written).toBeGreaterThan(3)
  // Looked at beside the full disk: it may have no room even for the index of a reader.
  const copy = join(folder, 'copy.boardwright')
  for (const suffix of ['', '-wal']) if (existsSync(file + suffix)) copyFileSync(file + suffix, copy + suffix)
  expectWhole(copy, outcome.written)
})

test('on a disk without room no workshop is begun, and after room was made the same path works', () => {
  const folder = temporaryFolder()
  const file = join(folder, 'workshop.boardwright')
  expect(fill(file, 8)).toMatchObject({ code: 'disk-full', written: 0 })
  const store = openStore(file, { create: true })
  store.products.insert({ product, at: '2026-03-04T09:00:00.000Z' })
  expect(store.defects()).toEqual([])
  store.close()
  expect(readdirSync(folder)).toEqual(['workshop.boardwright'])
})
