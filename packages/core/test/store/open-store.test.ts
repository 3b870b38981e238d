import { chmodSync, mkdirSync, readFileSync, truncateSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { expect, test } from 'vitest'
import { openStore } from '../../src/store/open-store.ts'
import { at, impulseResponses, product, reference, testRun, unit } from './sample-rows.ts'
import { temporaryFolder } from './temporary-folder.ts'

const newFile = (): string => join(temporaryFolder(), 'workshop.boardwright')

test('a path without a file is refused unless a new workshop is asked for', () => {
  const file = newFile()
  expect(() => openStore(file)).toThrow(expect.objectContaining({ code: 'file-not-readable' }))
  openStore(file, { create: true }).close()
  openStore(file).close()
})

test('a folder that does not exist is named', () => {
  expect(() => openStore(join(temporaryFolder(), 'no', 'workshop.boardwright'), { create: true })).toThrow(
    expect.objectContaining({ code: 'file-not-writable' }),
  )
})

test.each([
  ['a text file', (file: string) => writeFileSync(file, 'Dear diary, today I soldered.')],
  ['a WAV file', (file: string) => writeFileSync(file, Buffer.from('RIFF\x24\0\0\0WAVEfmt ', 'latin1'))],
  ['a folder', (file: string) => mkdirSync(file)],
  [
    'a database of another program',
    (file: string) => {
      const other = new Database(file)
      other.exec("CREATE TABLE recipe (name TEXT); INSERT INTO recipe VALUES ('soup')")
      other.close()
    },
  ],
  [
    'a database that carries the mark of another program',
    (file: string) => {
      const other = new Database(file)
      other.pragma('application_id = 1234')
      other.pragma('user_version = 1')
      other.close()
    },
  ],
])('%s is refused and left byte for byte as it was', (_name, make) => {
  const file = newFile()
  make(file)
  const content = () => {
    try {
      return readFileSync(file).toString('base64')
    } catch {
      return 'folder'
    }
  }
  const before = content()
  for (const options of [{}, { create: true }, { readonly: true }])
    expect(() => openStore(file, options)).toThrow(expect.objectContaining({ code: 'not-a-workshop' }))
  expect(content()).toBe(before)
})

test('an empty file is no workshop, but may become one', () => {
  const file = newFile()
  writeFileSync(file, '')
  expect(() => openStore(file)).toThrow(expect.objectContaining({ code: 'not-a-workshop' }))
  openStore(file, { create: true }).close()
  expect(openStore(file).defects()).toEqual([])
})

test('a file cut short by the disk is called damaged', () => {
  const file = newFile()
  const store = openStore(file, { create: true })
  store.products.insert({ product, at })
  store.references.insert(reference(1))
  store.close()
  truncateSync(file, 20_480)
  const damage = () => {
    const damaged = openStore(file)
    try {
      const [first] = damaged.defects()
      if (first) throw Object.assign(new Error(first.message), { code: first.code })
    } finally {
      damaged.close()
    }
  }
  expect(damage).toThrow(expect.objectContaining({ code: expect.stringMatching(/^file-(damaged|structure)$/) }))
})

test('a read-only store reads, and says clearly that it does not write', () => {
  const file = newFile()
  const writer = openStore(file, { create: true })
  writer.products.insert({ product, at })
  const reader = openStore(file, { readonly: true })
  expect(reader.products.list()).toEqual([product])
  expect(() => reader.products.insert({ product: { ...product, revision: 'B' }, at })).toThrow(
    expect.objectContaining({ code: 'file-not-writable' }),
  )
  reader.close()
  writer.close()
})

test('settings that guard the data are on: full sync, write-ahead log, foreign keys', () => {
  const file = newFile()
  const store = openStore(file, { create: true })
  expect(() => store.units.insert(unit('PLV-0001'))).toThrow(/FOREIGN KEY/)
  store.products.insert({ product, at })
  store.units.insert(unit('PLV-0001'))
  expect(() => store.testRuns.insert({ run: testRun('R-1', 'PLV-0001', 'pass'), impulseResponses: [] })).toThrow(
    /FOREIGN KEY/,
  )
  expect(new Database(file, { readonly: true }).pragma('journal_mode', { simple: true })).toBe('wal')
  store.close()
})

test('what is stored comes back the same to the last bit', () => {
  const store = openStore(newFile(), { create: true })
  store.products.insert({ product, at })
  store.references.insert(reference(1))
  store.units.insert(unit('PLV-0001'))
  for (const [i, verdict] of (['pass', 'fail', 'repeat'] as const).entries()) {
    const run = testRun(`R-${i}`, 'PLV-0001', verdict, i)
    store.testRuns.insert({ run, impulseResponses: impulseResponses(i) })
    expect(store.testRuns.find(run.id)).toStrictEqual(run)
    expect(store.testRuns.impulseResponses(run.id)).toStrictEqual(impulseResponses(i))
  }
  expect(store.references.list(product.id)).toStrictEqual([reference(1)])
  expect(store.products.list()).toStrictEqual([product])
  expect(store.testRuns.ofUnit('PLV-0001').map((run) => run.id)).toEqual(['R-2', 'R-1', 'R-0'])
  store.close()
})

test('a number that cannot be kept is refused before anything is written', () => {
  const store = openStore(newFile(), { create: true })
  store.products.insert({ product, at })
  store.references.insert(reference(1))
  store.units.insert(unit('PLV-0001'))
  const run = testRun('R-1', 'PLV-0001', 'pass')
  run.measurements[0].gainAt1kHzDb = Number.NaN
  expect(() => store.testRuns.insert({ run, impulseResponses: [] })).toThrow(/gainAt1kHzDb/)
  expect(store.testRuns.ids()).toEqual([])
  store.close()
})

test('a work that fails half-way leaves nothing, also when it stands inside another', () => {
  const store = openStore(newFile(), { create: true })
  store.products.insert({ product, at })
  store.transaction(() => {
    store.units.insert(unit('PLV-0001'))
    expect(() =>
      store.transaction(() => {
        store.units.insert(unit('PLV-0002'))
        throw new Error('the lights went out')
      }),
    ).toThrow('the lights went out')
  })
  expect(store.units.list({}).map((u) => u.serial)).toEqual(['PLV-0001'])
  expect(() => store.transaction(async () => store.units.insert(unit('PLV-0003')))).toThrow('synchronous')
  expect(store.units.find('PLV-0003')).toBeUndefined()
  store.close()
})

test('a file that this user may not read is named, with the reason', () => {
  const file = newFile()
  openStore(file, { create: true }).close()
  chmodSync(file, 0o000)
  // Root reads everything; any other user meets the error.
  if (process.getuid?.() === 0) expect(openStore(file, { readonly: true }).units.list({})).toEqual([])
  else expect(() => openStore(file)).toThrow(expect.objectContaining({ code: 'file-not-readable' }))
})
