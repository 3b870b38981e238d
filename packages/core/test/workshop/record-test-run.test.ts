import { copyFileSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { TestRun } from '../../src/model/test-run.ts'
import { makeSweep } from '../../src/response/sweep/sweep.ts'
import type { SettingRecording } from '../../src/workshop/workshop.ts'
import { temporaryFolder } from '../store/temporary-folder.ts'
import { newWorkshop } from './new-workshop.ts'
import { product, record, recordReference, silenced, sweep, wrongCapacitor } from './rig-recordings.ts'

let ofReference: SettingRecording[]
let good: SettingRecording[]
let bad: SettingRecording[]
beforeAll(async () => {
  ofReference = await recordReference()
  good = await record({ serial: 'PLV-0001' })
  bad = await record({ serial: 'PLV-0001', faults: wrongCapacitor })
  const workshop = newWorkshop({ file: join(folder, 'referenced.boardwright') })
  workshop.addReference({ recordings: ofReference })
  workshop.close()
})
const folder = mkdtempSync(join(tmpdir(), 'boardwright-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

/** A workshop of its own that has the reference already. */
const referencedWorkshop = () => {
  const file = join(temporaryFolder(), 'workshop.boardwright')
  copyFileSync(join(folder, 'referenced.boardwright'), file)
  return newWorkshop({ file, withProduct: false })
}
const rig = 'simulated' as const

test('a good board passes, becomes a new unit and goes on the shelf; all of it is in the journal', () => {
  const workshop = referencedWorkshop()
  const before = workshop.lastSeq()
  const { run, unit, newUnit } = workshop.recordTestRun({ serial: ' plv-0001 ', rig, recordings: good })
  expect(newUnit).toBe(true)
  expect(run).toMatchObject({ serial: 'PLV-0001', verdict: 'pass', referenceVersion: 1, station: 'bench', rig })
  expect(run.id).toMatch(/^R-[0-9A-HJKMNP-TV-Z]{9}-[0-9A-HJKMNP-TV-Z]{4}$/)
  expect(unit).toMatchObject({ serial: 'PLV-0001', state: 'ready', lastRunId: run.id })
  expect(workshop.testRun(run.id)).toEqual({ run, reference: workshop.currentReference() })
  expect(TestRun.parse(run)).toEqual(run)
  expect(workshop.unit('PLV-0001')).toMatchObject({ unit, runs: [{ id: run.id, verdict: 'pass' }] })
  expect(workshop.units()[0]).toEqual({ ...unit, lastRun: workshop.unit('PLV-0001').runs[0] })
  expect(workshop.journalSince(before)).toMatchObject([
    { seq: before + 1, verb: 'register-unit', noun: 'unit', key: 'PLV-0001' },
    { seq: before + 2, verb: 'record-test-run', noun: 'test-run', key: run.id, detail: { verdict: 'pass' } },
    { seq: before + 3, verb: 'record-test-run', noun: 'unit', detail: { from: 'untested', to: 'ready' } },
  ])
  expect(workshop.runsSince(before)).toMatchObject([{ seq: before + 2, run: { id: run.id } }])
  expect(workshop.runsSince(before + 2)).toEqual([])
})

test('a board with a wrong capacitor fails, and after the mend passes', () => {
  const workshop = referencedWorkshop()
  const failed = workshop.recordTestRun({ serial: 'PLV-0001', rig, recordings: bad })
  expect(failed).toMatchObject({ newUnit: true, run: { verdict: 'fail' }, unit: { state: 'failed' } })
  const passed = workshop.recordTestRun({ serial: 'PLV-0001', rig, recordings: good })
  expect(passed).toMatchObject({ newUnit: false, run: { verdict: 'pass' }, unit: { state: 'ready' } })
  expect(workshop.unit('PLV-0001').runs.map((run) => run.verdict)).toEqual(['pass', 'fail'])
})

test('a product that inverts is not told so on every board; a board that is turned against the reference is', () => {
  const workshop = referencedWorkshop()
  const codes = (recordings: SettingRecording[]) =>
    workshop
      .recordTestRun({ serial: 'PLV-0001', rig, recordings })
      .run.measurements.flatMap((m) => m.findings.map((finding) => finding.code))
  expect(workshop.currentReference()?.settings.map((setting) => setting.polarity)).toContain(-1)
  expect(codes(good)).toEqual([])
  const turned = good.map(({ audio, ...rest }) => ({
    ...rest,
    audio: { ...audio, channels: audio.channels.map((channel) => channel.map((value) => -value)) },
  }))
  // Turned once more, the response stands upright against the stimulus: the judge asks for another measurement.
  const { run } = workshop.recordTestRun({ serial: 'PLV-0001', rig, recordings: turned })
  expect(run.verdict).toBe('repeat')
})

test('a recording that proves nothing moves no unit forward, and takes one off the shelf (invariant 1)', () => {
  const workshop = referencedWorkshop()
  const silent = { serial: 'PLV-0001', rig, recordings: silenced(good) }
  expect(workshop.recordTestRun(silent)).toMatchObject({ run: { verdict: 'repeat' }, unit: { state: 'untested' } })
  workshop.recordTestRun({ ...silent, recordings: bad })
  expect(workshop.recordTestRun(silent)).toMatchObject({ run: { verdict: 'repeat' }, unit: { state: 'failed' } })
  workshop.recordTestRun({ ...silent, recordings: good })
  expect(workshop.recordTestRun(silent)).toMatchObject({ run: { verdict: 'repeat' }, unit: { state: 'untested' } })
  expect(workshop.check().findings).toEqual([])
})

test('one recording named for two settings is refused and stores nothing: a good board would fail by it', () => {
  const workshop = referencedWorkshop()
  const [max, min] = product.testPlan.settings
  const one = good.find((recording) => recording.setting === max)
  if (!one) throw new Error('the rig made no recording at the first setting')
  const before = workshop.lastSeq()
  const twice = [one, { ...one, setting: min, origin: 'a copy' }]
  expect(() => workshop.recordTestRun({ serial: 'PLV-0001', rig, recordings: twice })).toThrow(
    expect.objectContaining({ code: 'recording-twice', message: expect.stringContaining('a copy') }),
  )
  // Two runs of the reference from one file would seem to repeat without any spread.
  expect(() => workshop.addReference({ recordings: [...ofReference, ofReference[0]] })).toThrow(
    expect.objectContaining({ code: 'recording-twice' }),
  )
  expect(workshop.lastSeq()).toBe(before)
})

test('a verdict keeps the reference it was judged by, and computed again it is the same to the last bit (invariant 4)', () => {
  const workshop = referencedWorkshop()
  const runs = [good, bad, silenced(good)].map((recordings, i) =>
    workshop.recordTestRun({ serial: `PLV-000${i}`, rig, recordings }),
  )
  // A new reference, measured on a rather different board.
  workshop.addReference({ recordings: [...bad, ...ofReference.filter((r) => r.setting === 'centre')] })
  for (const { run } of runs) {
    expect(workshop.testRun(run.id).reference.version).toBe(1)
    expect(workshop.rejudge(run.id)).toEqual(run.judgement)
  }
  expect(workshop.recordTestRun({ serial: 'PLV-0009', rig, recordings: good }).run).toMatchObject({
    verdict: 'fail',
    referenceVersion: 2,
  })
  expect(workshop.check()).toMatchObject({ ok: true, runsChecked: 4, unitsChecked: 4 })
})

test('a verdict is computed from the impulse response, not read back: a spoilt one shows in the check', () => {
  const workshop = referencedWorkshop()
  const { run } = workshop.recordTestRun({ serial: 'PLV-0001', rig, recordings: good })
  const raw = new Database(workshop.file)
  const other = workshop.recordTestRun({ serial: 'PLV-0002', rig, recordings: bad }).run
  raw.exec('DROP TRIGGER impulse_response_fixed')
  raw
    .prepare(
      `UPDATE impulse_response SET samples = (SELECT samples FROM impulse_response JOIN test_run ON seq = run_seq
       WHERE id = ? AND setting = 'min'), zero_index = (SELECT zero_index FROM impulse_response
       JOIN test_run ON seq = run_seq WHERE id = ? AND setting = 'min')
       WHERE setting = 'min' AND run_seq = (SELECT seq FROM test_run WHERE id = ?)`,
    )
    .run(other.id, other.id, run.id)
  expect(workshop.rejudge(run.id).verdict).toBe('fail')
  expect(workshop.check().findings).toEqual([
    { code: 'verdict-differs', message: expect.stringMatching(`${run.id} says "pass".*"fail"`) },
  ])
})

test('a forged verdict, and a unit moved past the rules, show in the check', () => {
  const workshop = referencedWorkshop()
  const { run } = workshop.recordTestRun({ serial: 'PLV-0001', rig, recordings: bad })
  const raw = new Database(workshop.file)
  raw.exec("DROP TRIGGER test_run_fixed; DROP TRIGGER unit_leaves_passed; UPDATE unit SET state = 'ready'")
  expect(workshop.check().findings).toMatchObject([{ code: 'state-differs' }])
  raw.exec("UPDATE test_run SET verdict = 'pass'")
  expect(workshop.check().findings).toEqual([{ code: 'verdict-differs', message: expect.stringContaining(run.id) }])
})

test.each(['reserved', 'shipped', 'scrapped', 'building', 'rework'])('a %s unit is not put on the rig', (state) => {
  const workshop = referencedWorkshop()
  workshop.recordTestRun({ serial: 'PLV-0001', rig, recordings: good })
  new Database(workshop.file).prepare('UPDATE unit SET state = ?').run(state)
  const before = workshop.lastSeq()
  expect(() => workshop.recordTestRun({ serial: 'PLV-0001', rig, recordings: good })).toThrow(
    expect.objectContaining({ code: 'unit-not-testable', message: expect.stringContaining(state) }),
  )
  expect(workshop.lastSeq()).toBe(before)
})

test('a unit that is promised while its recording is measured is not moved', () => {
  const workshop = referencedWorkshop()
  workshop.recordTestRun({ serial: 'PLV-0001', rig, recordings: good })
  const before = workshop.lastSeq()
  // The recording is looked at after the unit was found testable, before the run is written: then another program acts.
  const meanwhile = good.map(({ audio, ...rest }) => ({
    ...rest,
    get audio() {
      const other = new Database(workshop.file)
      other.exec("UPDATE unit SET state = 'reserved'")
      other.close()
      return audio
    },
  }))
  expect(() => workshop.recordTestRun({ serial: 'PLV-0001', rig, recordings: meanwhile })).toThrow(
    expect.objectContaining({ code: 'unit-not-testable' }),
  )
  expect(workshop.lastSeq()).toBe(before)
  expect(workshop.unit('PLV-0001')).toMatchObject({ unit: { state: 'reserved' }, runs: [{ verdict: 'pass' }] })
})

test.each([
  ['a serial number that cannot be', { serial: 'PLV 0001!' }, 'bad-serial'],
  ['an empty serial number', { serial: '' }, 'bad-serial'],
  ['a missing setting', { recordings: (all: SettingRecording[]) => all.slice(0, 1) }, 'setting-missing'],
  ['no recording', { recordings: () => [] }, 'setting-missing'],
  [
    'an unknown setting',
    { recordings: (all: SettingRecording[]) => [...all, { ...all[0], setting: 'loud' }] },
    'setting-unknown',
  ],
  ['a setting given twice', { recordings: (all: SettingRecording[]) => [...all, all[0]] }, 'bad-argument'],
  ['an unknown product', { productId: 'heron' }, 'not-found'],
  ['a channel that is not there', { loopBackChannel: 1 }, 'bad-argument'],
  [
    'a sweep without 1 kHz',
    { sweep: makeSweep({ ...product.testPlan.stimulus, fromHz: 2000, toHz: 9000 }) },
    'sweep-mismatch',
  ],
])('%s is refused, and nothing is written', (_what, change, code) => {
  const workshop = referencedWorkshop()
  const before = workshop.lastSeq()
  const recordings = 'recordings' in change && change.recordings ? change.recordings(good) : good
  expect(() => workshop.recordTestRun({ serial: 'PLV-0001', rig, ...change, recordings })).toThrow(
    expect.objectContaining({ code }),
  )
  expect(workshop.lastSeq()).toBe(before)
  expect(workshop.units()).toEqual([])
})

test('without a reference nothing is judged', () => {
  expect(() => newWorkshop().recordTestRun({ serial: 'PLV-0001', rig, recordings: good })).toThrow(
    expect.objectContaining({ code: 'no-reference' }),
  )
})

test('a setting beyond the plan is measured and stored too', async () => {
  const workshop = referencedWorkshop()
  const centre = await record({ serial: 'PLV-0001', settings: ['centre'] })
  const { run } = workshop.recordTestRun({ serial: 'PLV-0001', rig, recordings: [...good, ...centre] })
  expect(run.measurements.map((m) => m.setting)).toEqual(['max', 'min', 'centre'])
  expect(workshop.rejudge(run.id)).toEqual(run.judgement)
})

test('the stimulus that was played may be handed in, and stands with the run', () => {
  const workshop = referencedWorkshop()
  const { run } = workshop.recordTestRun({ serial: 'PLV-0001', rig, recordings: good, sweep })
  expect(run.sweep).toEqual(sweep.settings)
  expect(workshop.rejudge(run.id)).toEqual(run.judgement)
})

test('a run with a loop-back is judged, and computed again from its stored curve', () => {
  const workshop = referencedWorkshop()
  const looped = good.map((recording) => {
    const [response] = recording.audio.channels
    // The loop-back hears the stimulus where the board's recording has it: found by the measurement of the first runs.
    const loopBack = new Float64Array(response.length)
    const offset = response.length - sweep.samples.length
    loopBack.set(sweep.samples, offset)
    return { ...recording, audio: { ...recording.audio, channels: [response, loopBack] } }
  })
  const { run } = workshop.recordTestRun({ serial: 'PLV-0001', rig, recordings: looped, loopBackChannel: 1 })
  expect(run.verdict).toBe('pass')
  expect(workshop.rejudge(run.id)).toEqual(run.judgement)
  expect(workshop.check().ok).toBe(true)
})

test('numbers of runs sort in the order of the runs', () => {
  const workshop = referencedWorkshop()
  const ids = [1, 2, 3, 4].map((i) => workshop.recordTestRun({ serial: `PLV-${i}`, rig, recordings: good }).run.id)
  expect([...ids].sort()).toEqual(ids)
  expect(new Set(ids).size).toBe(4)
})

test('a run takes less than 1.5 MB in the file', () => {
  const workshop = referencedWorkshop()
  const pages = () => {
    const raw = new Database(workshop.file, { readonly: true })
    const size = (raw.pragma('page_count', { simple: true }) as number) * 4096
    raw.close()
    return size
  }
  const before = pages()
  workshop.recordTestRun({ serial: 'PLV-0001', rig, recordings: good })
  expect(pages() - before).toBeLessThan(1_500_000)
})

test('a recording that was measured ahead is not measured again, and gives the same verdict', () => {
  const workshop = referencedWorkshop()
  let looks = 0
  const watched = good.map(({ audio, ...rest }) => ({
    ...rest,
    get audio() {
      looks++
      return audio
    },
  }))
  const measurement = workshop.measureAhead({ recording: watched[0] })
  const looksAhead = looks
  const { run } = workshop.recordTestRun({ serial: 'PLV-0001', rig, recordings: watched })
  // Besides the measuring, each recording is looked at once to see that none is named twice.
  expect(looks).toBe(2 * looksAhead + watched.length)
  expect(run.measurements[0]).toEqual(measurement)
  expect(run.judgement).toEqual(workshop.recordTestRun({ serial: 'PLV-0002', rig, recordings: good }).run.judgement)
  // Measured with another stimulus it is another measurement.
  workshop.recordTestRun({ serial: 'PLV-0003', rig, recordings: watched, sweep })
  expect(looks).toBe(4 * looksAhead + 2 * watched.length)
})
