import { readdirSync, readFileSync } from 'node:fs'
import { basename, dirname, join } from 'node:path'
import Database from 'better-sqlite3'
import { expect, test } from 'vitest'
import { migrations } from '../../src/store/migrations.ts'
import { openStore } from '../../src/store/open-store.ts'
import { bundledChild, startChild } from './built-child.ts'
import { at, product, unit } from './sample-rows.ts'
import { temporaryFolder } from './temporary-folder.ts'

const migrator = bundledChild('migrate-file.ts')

/** A workshop of the present schema with one unit. */
function workshopFile(): string {
  const file = join(temporaryFolder(), 'workshop.boardwright')
  const store = openStore(file, { create: true })
  store.products.insert({ product, at })
  store.units.insert(unit('PLV-0001'))
  store.close()
  return file
}

const now = migrations.length
const addColour = [...migrations, "ALTER TABLE unit ADD COLUMN colour TEXT NOT NULL DEFAULT 'black'"]
const addTwo = [...addColour, 'CREATE TABLE shelf_mark (serial TEXT PRIMARY KEY REFERENCES unit (serial)) STRICT']

const versionOf = (file: string): number => {
  const db = new Database(file, { readonly: true })
  try {
    return db.pragma('user_version', { simple: true }) as number
  } finally {
    db.close()
  }
}
const copiesBeside = (file: string): string[] =>
  readdirSync(dirname(file)).filter((name) => name.startsWith(basename(file)) && name.endsWith('.backup'))

test('a new file gets the newest schema at once, without a copy', () => {
  const file = workshopFile()
  expect(versionOf(file)).toBe(now)
  expect(copiesBeside(file)).toEqual([])
})

test('an older file is copied, then brought forward through all steps, its rows kept', () => {
  const file = workshopFile()
  const store = openStore(file, { steps: addTwo })
  expect(store.units.list({}).map((u) => u.serial)).toEqual(['PLV-0001'])
  expect(store.defects()).toEqual([])
  store.close()
  expect(versionOf(file)).toBe(now + 2)

  const copies = copiesBeside(file)
  expect(copies.length).toBe(1)
  expect(copies[0]).toContain(`schema-${now}`)
  const copy = openStore(join(dirname(file), copies[0]))
  expect(copy.units.list({}).map((u) => u.serial)).toEqual(['PLV-0001'])
  expect(copy.defects()).toEqual([])
  copy.close()
})

test('opening again changes nothing and copies nothing', () => {
  const file = workshopFile()
  openStore(file, { steps: addTwo }).close()
  const copies = copiesBeside(file)
  openStore(file, { steps: addTwo }).close()
  expect(copiesBeside(file)).toEqual(copies)
})

test('a step that fails leaves the old schema, also of the steps before it', () => {
  const file = workshopFile()
  const broken = [...addColour, 'CREATE TABLE half (a TEXT) STRICT; INSERT INTO nowhere VALUES (1)']
  expect(() => openStore(file, { steps: broken })).toThrow(/nowhere/)
  expect(versionOf(file)).toBe(now)
  const store = openStore(file)
  expect(store.defects()).toEqual([])
  expect(store.units.find('PLV-0001')).toBeDefined()
  store.close()
})

test('a step that leaves a row without its parent is undone', () => {
  const file = workshopFile()
  const orphaning = [...migrations, "UPDATE unit SET product_id = 'gone' WHERE serial = 'PLV-0001'"]
  expect(() => openStore(file, { steps: orphaning })).toThrow(expect.objectContaining({ code: 'file-damaged' }))
  const store = openStore(file)
  expect(store.units.find('PLV-0001')?.productId).toBe(product.id)
  store.close()
})

test('a file of a newer program is refused and left byte for byte as it was', () => {
  const file = workshopFile()
  openStore(file, { steps: addTwo }).close()
  const before = readFileSync(file)
  for (const options of [{}, { create: true }, { readonly: true }])
    expect(() => openStore(file, options)).toThrow(expect.objectContaining({ code: 'file-newer' }))
  expect(readFileSync(file).equals(before)).toBe(true)
})

test('a read-only look at an older file asks for an update instead of writing', () => {
  const file = workshopFile()
  expect(() => openStore(file, { readonly: true, steps: addTwo })).toThrow(
    expect.objectContaining({ code: 'file-not-writable' }),
  )
  expect(versionOf(file)).toBe(now)
})

test('programs that are started at the same time after an update migrate once', async () => {
  const file = workshopFile()
  const programs = Array.from({ length: 4 }, () => startChild(migrator.path, [file]))
  const ends = await Promise.all(programs.map((program) => program.ended))
  for (const end of ends) expect(end, end.stderr).toMatchObject({ code: 0, stdout: 'PLV-0001' })
  expect(versionOf(file)).toBe(now + 1)
  // Each copy that was kept is one of the old schema.
  const copies = copiesBeside(file)
  expect(copies.length).toBeGreaterThan(0)
  for (const copy of copies) expect(versionOf(join(dirname(file), copy))).toBe(now)
})
