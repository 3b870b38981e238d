import { mkdirSync, readdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { openStore } from '../../src/store/open-store.ts'
import { bundledChild, startChild } from './built-child.ts'
import { temporaryFolder } from './temporary-folder.ts'

const writer = bundledChild('write-units.ts')
const at = new Date('2026-03-04T09:00:00.000Z')

test('a copy made while another program writes is whole and stands in one file', async () => {
  const folder = temporaryFolder()
  const file = join(folder, 'workshop.boardwright')
  const store = openStore(file, { create: true })
  const program = startChild(writer.path, [file, 'BENCH', '400'])
  while (store.units.list({}).length < 5) await new Promise((resolve) => setTimeout(resolve, 5))
  const path = join(folder, 'copy.boardwright')
  let inProof = 0
  const copied = await store.copyTo({
    path,
    at,
    prove(copy) {
      expect(copy.defects()).toEqual([])
      inProof = copy.units.list({}).length
    },
  })
  expect((await program.ended).code).toBe(0)
  expect(copied.path).toBe(path)
  expect(copied.bytes).toBeGreaterThan(100_000)
  expect(readdirSync(folder).filter((name) => name.startsWith('copy'))).toEqual(['copy.boardwright'])
  store.close()

  const copy = openStore(path)
  const units = copy.units.list({})
  expect(units.length).toBe(inProof)
  expect(units.length).toBeGreaterThanOrEqual(5)
  expect(copy.testRuns.ids().length).toBe(units.length)
  expect(copy.journal.lastSeq()).toBe(2 * units.length)
  copy.close()
})

test('a copy that does not prove sound is not kept', async () => {
  const folder = temporaryFolder()
  const store = openStore(join(folder, 'workshop.boardwright'), { create: true })
  const prove = () => {
    throw new Error('a verdict differs')
  }
  await expect(store.copyTo({ path: join(folder, 'copy.boardwright'), at, prove })).rejects.toThrow('a verdict differs')
  store.close()
  expect(readdirSync(folder)).toEqual(['workshop.boardwright'])
})

test('a folder gets a file with the date in its name', async () => {
  const folder = temporaryFolder()
  const store = openStore(join(folder, 'workshop.boardwright'), { create: true })
  mkdirSync(join(folder, 'backups'))
  const { path } = await store.copyTo({ path: join(folder, 'backups'), at, prove: () => {} })
  expect(path).toBe(join(folder, 'backups', 'workshop.boardwright.20260304T090000Z.backup'))
})

test('an older backup is never written over, and a missing folder is named', async () => {
  const folder = temporaryFolder()
  const store = openStore(join(folder, 'workshop.boardwright'), { create: true })
  writeFileSync(join(folder, 'old'), 'the backup of yesterday')
  for (const path of [join(folder, 'old'), join(folder, 'no', 'copy')])
    await expect(store.copyTo({ path, at, prove: () => {} })).rejects.toMatchObject({
      code: 'file-not-writable',
      message: expect.stringContaining(path),
    })
})
