import { join } from 'node:path'
import Database from 'better-sqlite3'
import { expect, test } from 'vitest'
import { openStore } from '../../src/store/open-store.ts'
import { translateSqliteError } from '../../src/store/sqlite-error.ts'
import { at, product, reference, unit } from './sample-rows.ts'
import { temporaryFolder } from './temporary-folder.ts'

test('a file that another program keeps locked is called busy, after a wait', () => {
  const file = join(temporaryFolder(), 'workshop.boardwright')
  const store = openStore(file, { create: true, busyTimeoutMs: 200 })
  const other = new Database(file)
  other.exec('BEGIN IMMEDIATE')
  expect(() => store.transaction(() => store.products.insert({ product, at }))).toThrow(
    expect.objectContaining({ code: 'file-busy', message: expect.stringContaining(file) }),
  )
  // Readers are not held up by a writer.
  expect(store.products.list()).toEqual([])
  other.exec('COMMIT')
  store.transaction(() => store.products.insert({ product, at }))
  store.close()
})

test('a row that another program has spoilt is named with its place', () => {
  const file = join(temporaryFolder(), 'workshop.boardwright')
  const store = openStore(file, { create: true })
  store.products.insert({ product, at })
  store.references.insert(reference(1))
  store.units.insert(unit('PLV-0001'))
  const raw = new Database(file)
  raw.exec("UPDATE unit SET created_at = 'yesterday'")
  expect(() => store.units.find('PLV-0001')).toThrow(
    expect.objectContaining({ code: 'file-damaged', message: expect.stringMatching(/unit PLV-0001.*createdAt/) }),
  )
  raw.exec("DROP TRIGGER reference_setting_fixed; UPDATE reference_setting SET gain_db = x'0102' WHERE setting = 'min'")
  expect(() => store.references.list(product.id)).toThrow(
    expect.objectContaining({ code: 'file-damaged', message: expect.stringMatching(/plover version 1 gainDb/) }),
  )
  expect(store.defects().map((defect) => defect.code)).toEqual(['row-not-readable', 'row-not-readable'])
  raw.exec("DROP TRIGGER product_fixed; UPDATE product SET content = '{}'")
  expect(store.defects().map((defect) => defect.code)).toContain('row-not-readable')
})

test('a page that the disk has spoilt is found', () => {
  const file = join(temporaryFolder(), 'workshop.boardwright')
  const store = openStore(file, { create: true })
  store.transaction(() => {
    store.products.insert({ product, at })
    for (let i = 0; i < 500; i++) store.units.insert(unit(`PLV-${i}`))
  })
  store.close()
  const raw = new Database(file)
  // An index that no longer agrees with its table: SQLite's own way of being told a lie about the schema.
  raw.unsafeMode(true)
  raw.pragma('writable_schema = ON')
  raw.exec("UPDATE sqlite_schema SET sql = replace(sql, '(updated_at)', '(created_at)') WHERE name = 'unit_by_change'")
  raw.exec("UPDATE unit SET updated_at = '2027-01-01T00:00:00.000Z' WHERE serial < 'PLV-2'")
  raw.close()
  const spoilt = openStore(file)
  const defects = spoilt.defects()
  expect(defects.length).toBeGreaterThan(0)
  expect(new Set(defects.map((defect) => defect.code))).toEqual(new Set(['file-structure']))
})

test.each([
  ['SQLITE_FULL', 'disk-full'],
  ['SQLITE_IOERR_WRITE', 'disk-full'],
  ['SQLITE_BUSY_SNAPSHOT', 'file-busy'],
  ['SQLITE_CORRUPT_VTAB', 'file-damaged'],
  ['SQLITE_NOTADB', 'not-a-workshop'],
  ['SQLITE_READONLY_DBMOVED', 'file-not-writable'],
  ['SQLITE_CANTOPEN_ISDIR', 'file-not-readable'],
  ['SQLITE_IOERR_READ', 'file-not-readable'],
])('%s becomes %s, with the cause kept', (sqlite, code) => {
  const cause = new Database.SqliteError('as SQLite says it', sqlite)
  expect(translateSqliteError(cause, '/w.boardwright')).toMatchObject({
    code,
    cause,
    message: expect.stringMatching(/\/w\.boardwright.*as SQLite says it/),
  })
})

test('a broken constraint is our bug, and stays what it is', () => {
  const bug = new Database.SqliteError('UNIQUE constraint failed', 'SQLITE_CONSTRAINT_UNIQUE')
  expect(translateSqliteError(bug, '/w.boardwright')).toBe(bug)
  expect(translateSqliteError('a thrown text', '/w.boardwright')).toBe('a thrown text')
})
