import { join } from 'node:path'
import Database from 'better-sqlite3'
import { expect, test } from 'vitest'
import { openStore } from '../../src/store/open-store.ts'
import { at, impulseResponses, product, reference, testRun, unit } from './sample-rows.ts'
import { temporaryFolder } from './temporary-folder.ts'

/** A workshop with a run and ten journal entries; `raw` is another program's hand on the same file. */
function filledWorkshop() {
  const file = join(temporaryFolder(), 'workshop.boardwright')
  const store = openStore(file, { create: true })
  store.products.insert({ product, at })
  store.references.insert(reference(1))
  store.units.insert(unit('PLV-0001'))
  store.testRuns.insert({ run: testRun('R-1', 'PLV-0001', 'pass'), impulseResponses: impulseResponses(1) })
  for (let i = 1; i <= 10; i++)
    store.journal.append({
      at,
      station: 'bench',
      verb: 'note',
      noun: i % 2 ? 'unit' : 'order',
      key: `K${i}`,
      detail: { i },
    })
  return { file, store, raw: new Database(file) }
}

test('entries are numbered from 1 without a gap and found by noun, key and number', () => {
  const { store } = filledWorkshop()
  expect(store.journal.lastSeq()).toBe(10)
  expect(store.journal.since({ seq: 7, limit: 2 }).map((e) => e.seq)).toEqual([8, 9])
  expect(store.journal.since({ seq: 0, limit: 99, noun: 'order' }).map((e) => e.seq)).toEqual([2, 4, 6, 8, 10])
  expect(store.journal.about({ noun: 'unit', key: 'K3' })).toEqual([
    { seq: 3, at, station: 'bench', verb: 'note', noun: 'unit', key: 'K3', detail: { i: 3 } },
  ])
  expect(store.defects()).toEqual([])
})

test.each([
  "UPDATE journal SET verb = 'other' WHERE seq = 3",
  'DELETE FROM journal WHERE seq = 3',
  'DELETE FROM journal',
  "INSERT INTO journal VALUES (12, '', '', '', '', '', '{}', '')",
  "INSERT INTO journal VALUES (3, '', '', '', '', '', '{}', '')",
  "INSERT OR REPLACE INTO journal VALUES (3, '', '', '', '', '', '{}', '')",
  "REPLACE INTO journal (seq, at, station, verb, noun, key, detail, seal) VALUES (10, '', '', '', '', '', '{}', '')",
  "UPDATE test_run SET verdict = 'fail'",
  'DELETE FROM test_run',
  'UPDATE measurement SET usable = 0',
  'DELETE FROM measurement',
  "UPDATE impulse_response SET samples = x'00'",
  'DELETE FROM impulse_response',
  "UPDATE reference SET note = ''",
  'DELETE FROM reference_setting',
  "UPDATE product SET content = '{}'",
  'DELETE FROM product',
  'DELETE FROM unit',
])('even another program cannot do this to what has happened: %s', (statement) => {
  const { raw, store } = filledWorkshop()
  const before = store.journal.since({ seq: 0, limit: 99 })
  expect(() => raw.exec(statement)).toThrow(/never|frozen|takes the next number|UNIQUE/)
  expect(store.journal.since({ seq: 0, limit: 99 })).toEqual(before)
  expect(store.defects()).toEqual([])
})

test('who removes the guards and rewrites an entry is found out', () => {
  const { raw, store } = filledWorkshop()
  raw.exec("DROP TRIGGER journal_fixed; UPDATE journal SET at = '2020-01-01T00:00:00.000Z' WHERE seq = 4")
  expect(store.defects()).toEqual([{ code: 'journal-changed', message: expect.stringContaining('4') }])
})

test('who removes the guards and takes an entry out is found out', () => {
  const { raw, store } = filledWorkshop()
  raw.exec('DROP TRIGGER journal_kept; DELETE FROM journal WHERE seq = 4')
  expect(store.defects()[0]).toEqual({ code: 'journal-gap', message: expect.stringContaining('from entry 3 to 5') })
})

test.each(['ready', 'reserved', 'shipped'])('no unit is %s without a last verdict pass', (state) => {
  const { raw, store } = filledWorkshop()
  const set = (run: string | null, serial = 'PLV-0001') =>
    raw.prepare('UPDATE unit SET state = ?, last_run_id = ? WHERE serial = ?').run(state, run, serial)
  expect(() => set(null)).toThrow(/last verdict pass/)
  store.testRuns.insert({ run: testRun('R-2', 'PLV-0001', 'fail', 2), impulseResponses: [] })
  expect(() => set('R-2')).toThrow(/last verdict pass/)
  // The run that passed is no longer the last one.
  expect(() => set('R-1')).toThrow(/last verdict pass/)
  store.units.insert(unit('PLV-0002'))
  store.testRuns.insert({ run: testRun('R-3', 'PLV-0001', 'pass', 4), impulseResponses: [] })
  expect(() => set('R-3', 'PLV-0002')).toThrow(/last verdict pass/)
  expect(set('R-3').changes).toBe(1)
  expect(() => store.units.insert(unit('PLV-0003', { state: state as 'ready' }))).toThrow(/last verdict pass/)
})
