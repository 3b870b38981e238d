import { spawnSync } from 'node:child_process'
import { chmodSync, readdirSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { expect, test } from 'vitest'
import { openStore } from '../../src/store/open-store.ts'
import { bundledChild } from './built-child.ts'
import { product, unit } from './sample-rows.ts'
import { temporaryFolder } from './temporary-folder.ts'

const child = bundledChild('read-only.ts')

/** Another user when this one may write anywhere. Source: 65534 is "nobody" on Debian. */
const asUser = process.getuid?.() === 0 ? { uid: 65534, gid: 65534 } : {}

function madeFile(): string {
  const file = join(temporaryFolder(), 'shelf.boardwright')
  const store = openStore(file, { create: true })
  store.transaction(() => {
    store.products.insert({ product, at: new Date().toISOString() })
    store.units.insert(unit('READ-1'))
  })
  store.close()
  return file
}

const readIt = (file: string) => {
  const { stdout, stderr } = spawnSync(process.execPath, [child.path, file], { encoding: 'utf8', ...asUser })
  return { report: stdout ? JSON.parse(stdout) : stderr, names: readdirSync(dirname(file)) }
}

test('a workshop file in a folder that may only be read is read, and says so when it is written to', () => {
  const file = madeFile()
  chmodSync(file, 0o444)
  chmodSync(dirname(file), 0o555)
  const { report, names } = readIt(file)
  expect(report).toEqual({ units: ['READ-1'], code: 'file-not-writable', after: 1, defects: [] })
  expect(names).toEqual(['shelf.boardwright'])
  chmodSync(dirname(file), 0o755)
})

test('a file that may only be read, in a folder that may be written to, is read as well', () => {
  const file = madeFile()
  chmodSync(file, 0o444)
  chmodSync(dirname(file), 0o777)
  expect(readIt(file).report).toMatchObject({ units: ['READ-1'], code: 'file-not-writable', after: 1 })
})
