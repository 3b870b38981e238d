import Database from 'better-sqlite3'
import { beforeAll, expect, test } from 'vitest'
import type { Fault } from '../../src/circuit/fault.ts'
import { reworkActions } from '../../src/model/rework.ts'
import type { RecordRework, SettingRecording, Workshop } from '../../src/workshop/workshop.ts'
import { newWorkshop } from './new-workshop.ts'
import { record, recordReference, silenced, wrongCapacitor } from './rig-recordings.ts'

const rig = 'simulated' as const
let ofReference: SettingRecording[]
let good: SettingRecording[]
let bad: SettingRecording[]
beforeAll(async () => {
  ofReference = await recordReference(1)
  good = await record({ serial: 'PLV-0001' })
  bad = await record({ serial: 'PLV-0001', faults: wrongCapacitor })
})

const referencedWorkshop = () => {
  const workshop = newWorkshop()
  workshop.addReference({ recordings: ofReference })
  const visit = (serial: string, recordings: SettingRecording[]) =>
    workshop.recordTestRun({ serial, rig, recordings }).run
  const redo = (serial: string, designator: string, more: Partial<RecordRework> = {}) =>
    workshop.recordRework({ serial, designator, action: 'replaced', ...more })
  return { workshop, visit, redo }
}
const stateOf = (workshop: Workshop, serial = 'PLV-0001') => workshop.unit(serial).unit.state

test('failed, reworked, untested, tested again: each step is in the journal and with the unit', async () => {
  const { workshop, visit } = referencedWorkshop()
  const run = visit('PLV-0001', bad)
  const diagnosis = await workshop.diagnoseRun({ runId: run.id })
  const before = workshop.lastSeq()
  const { rework, unit } = workshop.recordRework({
    ...{ serial: 'plv-0001', designator: 'c7', action: 'replaced' as const },
    ...{ part: '33 nF film', lot: 'green bag of May', note: 'wrong bag' },
  })
  expect(rework).toEqual({
    ...{ id: 1, serial: 'PLV-0001', at: unit.updatedAt, station: 'bench', designator: 'C7', action: 'replaced' },
    ...{
      part: '33 nF film',
      lot: 'green bag of May',
      note: 'wrong bag',
      afterRunId: run.id,
      diagnosisId: diagnosis.id,
    },
  })
  expect(unit).toMatchObject({ state: 'untested', lastRunId: run.id })
  expect(workshop.unit('PLV-0001').reworks).toEqual([rework])
  expect(workshop.nextToTest()?.serial).toBe('PLV-0001')
  expect(workshop.journalSince(before)).toMatchObject([
    {
      verb: 'record-rework',
      noun: 'rework',
      key: '1',
      detail: { serial: 'PLV-0001', designator: 'C7', lot: 'green bag of May' },
    },
    {
      verb: 'record-rework',
      noun: 'unit',
      key: 'PLV-0001',
      detail: { from: 'failed', to: 'untested', designator: 'C7' },
    },
  ])
  expect(visit('PLV-0001', good).verdict).toBe('pass')
  expect(stateOf(workshop)).toBe('ready')
  expect(workshop.check()).toMatchObject({ ok: true })
})

test('a unit on the shelf that is reworked is off the shelf until it has passed again (invariant 1)', () => {
  const { workshop, visit, redo } = referencedWorkshop()
  visit('PLV-0001', good)
  redo('PLV-0001', 'R5', { action: 'resoldered' })
  expect(stateOf(workshop)).toBe('untested')
  const other = new Database(workshop.file)
  for (const state of ['ready', 'reserved', 'shipped'])
    expect(() => other.prepare('UPDATE unit SET state = ?').run(state)).toThrow(/nothing reworked/)
  visit('PLV-0001', silenced(good))
  expect(stateOf(workshop)).toBe('untested')
  visit('PLV-0001', good)
  expect(other.prepare("UPDATE unit SET state = 'reserved'").run().changes).toBe(1)
  // And who takes the guard away is found out.
  other.exec("UPDATE unit SET state = 'ready'")
  redo('PLV-0001', 'R5')
  other.exec("DROP TRIGGER unit_leaves_as_tested; UPDATE unit SET state = 'ready'")
  expect(workshop.check().findings).toEqual([
    { code: 'state-differs', message: expect.stringMatching(/PLV-0001 is ready, but R5 was reworked/) },
  ])
  other.close()
})

test('unfinished rework keeps the unit off the rig', () => {
  const { workshop, visit, redo } = referencedWorkshop()
  visit('PLV-0001', bad)
  expect(redo('PLV-0001', 'C7', { finished: false }).unit.state).toBe('rework')
  expect(() => visit('PLV-0001', good)).toThrow(expect.objectContaining({ code: 'unit-not-testable' }))
  expect(redo('PLV-0001', 'C8').unit.state).toBe('untested')
  expect(workshop.unit('PLV-0001').reworks.map(({ designator }) => designator)).toEqual(['C8', 'C7'])
  expect(visit('PLV-0001', good).verdict).toBe('pass')
})

test.each(['reserved', 'shipped', 'scrapped', 'building'])('a %s unit is not reworked', (state) => {
  const { workshop, visit, redo } = referencedWorkshop()
  visit('PLV-0001', good)
  new Database(workshop.file).prepare('UPDATE unit SET state = ?').run(state)
  const before = workshop.lastSeq()
  expect(() => redo('PLV-0001', 'C7')).toThrow(
    expect.objectContaining({ code: 'unit-not-reworkable', message: expect.stringContaining(state) }),
  )
  expect(workshop.lastSeq()).toBe(before)
  expect(workshop.unit('PLV-0001').reworks).toEqual([])
})

test.each([
  [{ serial: 'PLV-0009' }, 'not-found'],
  [{ serial: 'a b' }, 'bad-serial'],
  [{ designator: 'C99' }, 'part-unknown'],
  // The rig's own source is no part of the board.
  [{ designator: 'BT1' }, 'part-unknown'],
  [{ designator: '' }, 'bad-argument'],
  [{ action: 'sung to' as never }, 'bad-argument'],
  [{ part: 'x'.repeat(121) }, 'bad-argument'],
])('%j is refused with the code %s', (changed, code) => {
  const { workshop, visit } = referencedWorkshop()
  visit('PLV-0001', bad)
  const before = workshop.lastSeq()
  expect(() => workshop.recordRework({ serial: 'PLV-0001', designator: 'C7', action: 'replaced', ...changed })).toThrow(
    expect.objectContaining({ code }),
  )
  expect(workshop.lastSeq()).toBe(before)
  expect(stateOf(workshop)).toBe('failed')
})

test('every action is taken; a package stands for its sections', () => {
  const { workshop, redo } = referencedWorkshop()
  workshop.registerUnit({ serial: 'PLV-0001' })
  for (const action of reworkActions) redo('PLV-0001', 'U1', { action })
  redo('PLV-0001', 'U1B')
  expect(workshop.unit('PLV-0001').reworks).toHaveLength(reworkActions.length + 1)
  expect(workshop.unit('PLV-0001').reworks[0]).toMatchObject({ afterRunId: null, diagnosisId: null })
})

test('hit rate: the next run confirms or denies the suspicion', async () => {
  const { workshop, visit, redo } = referencedWorkshop()
  const figures = () => workshop.diagnosisFigures()
  expect(figures()).toEqual({
    confidence: 0.95,
    first: { hits: 0, cases: 0, rate: null, lower: 0, upper: 1 },
    firstThree: { hits: 0, cases: 0, rate: null, lower: 0, upper: 1 },
    waiting: 0,
    undecided: 0,
  })
  const fail = async (serial: string) => {
    await workshop.diagnoseRun({ runId: visit(serial, bad).id })
  }
  // Confirmed: the suspect was replaced, after a repeat the board passes.
  await fail('HIT-1')
  redo('HIT-1', 'C7')
  expect(figures()).toMatchObject({ waiting: 1, first: { cases: 0 } })
  visit('HIT-1', silenced(good))
  expect(figures().waiting).toBe(1)
  visit('HIT-1', good)
  expect(figures()).toMatchObject({ waiting: 0, first: { hits: 1, cases: 1 } })
  // Wrong: another part was replaced, and that was it.
  await fail('MISS-1')
  redo('MISS-1', 'R1')
  visit('MISS-1', good)
  // Denied: the whole first suspect was replaced, and the board still fails.
  await fail('MISS-2')
  const [suspect] = (await workshop.diagnosis(workshop.unit('MISS-2').runs[0].id)).diagnosis.suspects
  for (const designator of suspect.designators) redo('MISS-2', designator)
  visit('MISS-2', bad)
  expect(figures()).toMatchObject({ first: { hits: 1, cases: 3 }, undecided: 0 })
  // Undecided: another part was replaced, and the board still fails.
  await fail('OPEN-1')
  redo('OPEN-1', 'R1')
  visit('OPEN-1', bad)
  // No case: no diagnosis; nothing failed; nothing reworked.
  visit('NONE-1', bad)
  redo('NONE-1', 'C7')
  visit('NONE-1', good)
  await workshop.diagnoseRun({ runId: visit('NONE-2', good).id })
  redo('NONE-2', 'C7')
  visit('NONE-2', good)
  await fail('NONE-3')
  visit('NONE-3', good)
  const { first, firstThree, waiting, undecided } = figures()
  expect({ waiting, undecided }).toEqual({ waiting: 0, undecided: 1 })
  // Source: Clopper-Pearson, 1 of 3 at 95 %: limits 0.0084 and 0.9057 (scipy.stats.binomtest(1, 3).proportion_ci()).
  expect(first).toMatchObject({ hits: 1, cases: 3, rate: 1 / 3 })
  expect(first.lower).toBeCloseTo(0.00840376, 7)
  expect(first.upper).toBeCloseTo(0.90570068, 7)
  expect(firstThree.hits).toBe(1)
  expect(workshop.summary().diagnosis).toEqual(figures())
})

test('a diagnosis made with hindsight does not count', async () => {
  const { workshop, visit, redo } = referencedWorkshop()
  const run = visit('PLV-0001', bad)
  redo('PLV-0001', 'C7')
  await workshop.diagnoseRun({ runId: run.id })
  visit('PLV-0001', good)
  expect(workshop.diagnosisFigures()).toMatchObject({ first: { cases: 0 }, waiting: 0, undecided: 0 })
})

test('what is redone after a repeat belongs to the same case', async () => {
  const { workshop, visit, redo } = referencedWorkshop()
  const faults: readonly Fault[] = wrongCapacitor
  await workshop.diagnoseRun({ runId: visit('PLV-0001', await record({ serial: 'PLV-0001', faults })).id })
  redo('PLV-0001', 'R1')
  visit('PLV-0001', silenced(good))
  redo('PLV-0001', 'C7')
  visit('PLV-0001', good)
  expect(workshop.diagnosisFigures()).toMatchObject({ first: { hits: 1, cases: 1 }, waiting: 0, undecided: 0 })
})
