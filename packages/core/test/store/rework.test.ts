import { join } from 'node:path'
import Database from 'better-sqlite3'
import { afterEach, expect, test } from 'vitest'
import type { Rework } from '../../src/model/rework.ts'
import { noEvidence } from '../../src/model/run-diagnosis.ts'
import { openStore } from '../../src/store/open-store.ts'
import type { Store } from '../../src/workshop/ports.ts'
import { at, product, reference, testRun, unit } from './sample-rows.ts'
import { temporaryFolder } from './temporary-folder.ts'

// Invariant 1: a unit leaves only with a last verdict `pass` and no rework after it. Another program with plain SQL tries to
// break it.

const diagnosis = {
  suspects: [],
  noneProbability: 1,
  healthyProbability: 0,
  rigFault: false,
  words: 'Nothing explains it.',
  nextChecks: [],
  hypothesisCount: 0,
  misfit: { chiSquare: 0.1 + 0.2, numbers: 1 },
}
const rework = (changes: Partial<Rework> = {}): Omit<Rework, 'id'> => ({
  serial: 'PLV-0001',
  at,
  station: 'bench',
  designator: 'C7',
  action: 'replaced',
  part: '33 nF film',
  lot: null,
  note: 'from the green bag',
  afterRunId: 'R-1',
  diagnosisId: null,
  ...changes,
})

const opened: { close(): void }[] = []
afterEach(() => {
  for (const one of opened.splice(0)) one.close()
})

/** Two units: PLV-0001 ready after its run R-1, PLV-0002 failed after R-2 and diagnosed. */
function filled(): { store: Store; raw: Database.Database } {
  const file = join(temporaryFolder(), 'workshop.boardwright')
  const store = openStore(file, { create: true })
  store.products.insert({ product, at })
  store.references.insert(reference(1))
  for (const [serial, id, verdict] of [
    ['PLV-0001', 'R-1', 'pass'],
    ['PLV-0002', 'R-2', 'fail'],
  ] as const) {
    store.units.insert(unit(serial))
    store.testRuns.insert({ run: testRun(id, serial, verdict), impulseResponses: [] })
    const state = verdict === 'pass' ? 'ready' : 'failed'
    store.units.update({ serial, state, lastRunId: id, updatedAt: at })
  }
  store.diagnoses.insert({ runId: 'R-2', serial: 'PLV-0002', at, station: 'bench', evidence: noEvidence, diagnosis })
  const raw = new Database(file)
  opened.push(store, raw)
  return { store, raw }
}

const toRework = (store: Store, serial: string, lastRunId: string | null) =>
  store.units.update({ serial, state: 'rework', lastRunId, updatedAt: at })

test('what is stored comes back the same, newest first', () => {
  const { store } = filled()
  toRework(store, 'PLV-0002', 'R-2')
  const first = store.reworks.insert(rework({ serial: 'PLV-0002', afterRunId: 'R-2', diagnosisId: 1 }))
  const second = store.reworks.insert(rework({ serial: 'PLV-0002', afterRunId: 'R-2', designator: 'U1', part: null }))
  expect([first.id, second.id]).toEqual([1, 2])
  expect(store.reworks.ofUnit('PLV-0002')).toEqual([second, first])
  expect(store.reworks.all()).toEqual([first, second])
  expect(store.reworks.ofUnit('PLV-0001')).toEqual([])
  const kept = { id: 1, runId: 'R-2', serial: 'PLV-0002', at, station: 'bench', evidence: noEvidence, diagnosis }
  expect(store.diagnoses.latest('R-2')).toEqual(kept)
  expect(store.diagnoses.latest('R-1')).toBeUndefined()
  expect(store.diagnoses.latestId('R-2')).toBe(1)
  expect(store.diagnoses.leading(1)).toEqual([])
  expect(store.defects()).toEqual([])
})

test.each(['ready', 'reserved', 'shipped'] as const)(
  'a unit reworked after its last verdict pass is not %s',
  (state) => {
    const { store, raw } = filled()
    toRework(store, 'PLV-0001', 'R-1')
    store.reworks.insert(rework())
    const leave = () => raw.prepare("UPDATE unit SET state = ? WHERE serial = 'PLV-0001'").run(state)
    expect(leave).toThrow(/nothing reworked after the last verdict/)
    raw.exec("UPDATE unit SET state = 'untested' WHERE serial = 'PLV-0001'")
    expect(leave).toThrow(/nothing reworked after the last verdict/)
    // A repeat proves nothing; neither does pointing the unit at the older run.
    store.testRuns.insert({ run: testRun('R-3', 'PLV-0001', 'repeat', 2), impulseResponses: [] })
    expect(leave).toThrow(/last verdict pass/)
    expect(() => raw.exec("UPDATE unit SET state = 'ready', last_run_id = 'R-1' WHERE serial = 'PLV-0001'")).toThrow(
      /last verdict pass/,
    )
    store.testRuns.insert({ run: testRun('R-4', 'PLV-0001', 'pass', 4), impulseResponses: [] })
    raw.exec("UPDATE unit SET last_run_id = 'R-4' WHERE serial = 'PLV-0001'")
    expect(leave().changes).toBe(1)
  },
)

test.each([
  ['a rework of a unit on the shelf', 'PLV-0001', "'R-1', NULL", false, /taken to rework/],
  ['a rework of a failed unit that was not taken to rework', 'PLV-0002', "'R-2', 1", false, /taken to rework/],
  ['a rework that hides behind no run', 'PLV-0001', 'NULL, NULL', true, /follows the last test run/],
  ['a rework that hides behind the run of another unit', 'PLV-0001', "'R-2', NULL", true, /follows the last test run/],
  ['a rework by the diagnosis of another run', 'PLV-0001', "'R-1', 1", true, /a diagnosis of the run/],
  ['a rework of no unit at all', 'PLV-0009', 'NULL, NULL', false, /taken to rework|FOREIGN KEY/],
])('refused: %s', (_, serial, ends, isTaken, sentence) => {
  const { raw } = filled()
  if (isTaken) raw.prepare("UPDATE unit SET state = 'rework' WHERE serial = ?").run(serial)
  const insert = `INSERT INTO rework (serial, at, station, designator, action, note, after_run_id, diagnosis_id)
    VALUES ('${serial}', '', '', 'C7', 'replaced', '', ${ends})`
  expect(() => raw.exec(insert)).toThrow(sentence)
})

test('a rework cannot be moved behind an older run to free a unit', () => {
  const { store, raw } = filled()
  store.testRuns.insert({ run: testRun('R-5', 'PLV-0001', 'pass', 2), impulseResponses: [] })
  toRework(store, 'PLV-0001', 'R-5')
  expect(() => store.reworks.insert(rework({ afterRunId: 'R-1' }))).toThrow(/follows the last test run/)
  store.reworks.insert(rework({ afterRunId: 'R-5' }))
  expect(() => raw.exec("UPDATE rework SET after_run_id = 'R-1'")).toThrow(/never changed/)
})

test.each([
  "UPDATE rework SET note = ''",
  'DELETE FROM rework',
  "INSERT OR REPLACE INTO rework (seq, serial, at, station, designator, action, note, after_run_id) VALUES (1, 'PLV-0001', '', '', 'R1', 'cleaned', '', 'R-1')",
  "UPDATE diagnosis SET content = '{}'",
  'DELETE FROM diagnosis',
  "REPLACE INTO diagnosis VALUES (1, 'R-2', '', '', '{}', '{}', '[]')",
  "UPDATE unit SET serial = 'PLV-0003' WHERE serial = 'PLV-0001'",
])('even another program cannot do this to what has happened: %s', (statement) => {
  const { store, raw } = filled()
  toRework(store, 'PLV-0001', 'R-1')
  const made = store.reworks.insert(rework())
  // As a program that knows nothing of ours opens the file.
  raw.pragma('recursive_triggers = OFF')
  expect(() => raw.exec(statement)).toThrow(/never changed|FOREIGN KEY/)
  expect(store.reworks.all()).toEqual([made])
  expect(store.diagnoses.latest('R-2')?.diagnosis).toEqual(diagnosis)
})

test('a rework or a diagnosis that cannot be read is named', () => {
  const { store, raw } = filled()
  toRework(store, 'PLV-0001', 'R-1')
  store.reworks.insert(rework())
  raw.exec("DROP TRIGGER rework_fixed; UPDATE rework SET action = 'sung to'")
  expect(store.defects()).toEqual([{ code: 'row-not-readable', message: expect.stringContaining('rework 1') }])
  raw.exec("DROP TRIGGER diagnosis_fixed; UPDATE diagnosis SET content = '{}'")
  expect(() => store.diagnoses.latest('R-2')).toThrow(expect.objectContaining({ code: 'file-damaged' }))
})

test('a number that JSON cannot hold is refused before it makes a diagnosis unreadable', () => {
  const { store } = filled()
  const broken = { ...diagnosis, misfit: { chiSquare: Number.NaN, numbers: 1 } }
  const made = { runId: 'R-2', serial: 'PLV-0002', at, station: 'bench', evidence: noEvidence, diagnosis: broken }
  expect(() => store.diagnoses.insert(made)).toThrow()
  expect(store.diagnoses.latestId('R-2')).toBe(1)
})
