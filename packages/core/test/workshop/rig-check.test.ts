import { afterAll, expect, test } from 'vitest'
import { openStore } from '../../src/store/open-store.ts'
import { makeWorkshop } from '../../src/workshop/make-workshop.ts'
import { rigDay } from './rig-day.ts'
import { product, silenced } from './rig-recordings.ts'

const opened: { close(): void }[] = []
afterAll(() => {
  for (const workshop of opened) workshop.close()
})
const day = async (...options: Parameters<typeof rigDay>) => {
  const made = await rigDay(...options)
  opened.push(made.workshop)
  return made
}

test('no check was ever made: a reminder, and work goes on', async () => {
  const { test: testUnit, status } = await day()
  expect(status()).toMatchObject({ state: 'unchecked', unitsSince: 0, lastCheck: null, retest: 0 })
  expect((await testUnit('PLV-0001')).run.verdict).toBe('pass')
  expect(status()).toMatchObject({ state: 'unchecked', unitsSince: 1 })
})

test('a rig as it was is good, with the figures of each setting', async () => {
  const { check, status, workshop } = await day()
  const { check: made, doubtful } = await check()
  expect(made).toMatchObject({ outcome: 'good', referenceVersion: 1, limits: { limitDb: 0.3, levelLimitDb: 0.2 } })
  expect(made.settings.map(({ setting, obstacle }) => [setting, obstacle])).toEqual([
    ['max', null],
    ['min', null],
  ])
  // The same board through the same rig: what is left is the noise of two short sweeps.
  expect(Math.abs(made.levelDb ?? 9)).toBeLessThan(0.01)
  expect(made.shapeDb).toBeLessThan(0.1)
  expect(doubtful).toEqual([])
  expect(status()).toMatchObject({ state: 'good', unitsSince: 0, warning: null })
  expect(workshop.rigChecks.show(made.id)).toEqual(made)
  expect(workshop.rigChecks.list({})).toHaveLength(1)
  expect(workshop.journalSince(0).at(-1)).toMatchObject({ verb: 'record-rig-check', noun: 'rig-check', key: '1' })
})

// The drift is put in by a filter of known gain, so the check must read it back.
test.each([
  ['level', { levelDb: 0.5 }, 0.5, /level is 0\.50 dB higher than the reference's \(limit 0\.20 dB\)/],
  ['level down', { levelDb: -0.31 }, -0.31, /level is 0\.31 dB lower/],
  ['treble', { trebleDb: -0.8 }, undefined, /curve is off by −0\.\d\d dB at (1\d|20|19\.\d) kHz \(limit 0\.30 dB\)/],
])('a drift of the %s stops work with one clear sentence', async (_what, drift, levelDb, words) => {
  const { drift: change, check, test: testUnit, status, workshop, record } = await day()
  await check()
  change({ drift })
  const { check: made } = await check()
  expect(made.outcome).toBe('drifted')
  expect(made.reasons.join(' ')).toMatch(words)
  if (levelDb !== undefined) expect(made.levelDb).toBeCloseTo(levelDb, 2)
  expect(status().state).toBe('drifted')
  const before = workshop.lastSeq()
  const error = await testUnit('PLV-0001').catch((cause) => cause)
  expect(error).toMatchObject({
    code: 'rig-drifted',
    message: expect.stringMatching(/^The simulated rig has drifted: at m/),
  })
  expect(error.message.match(/\./g)?.length).toBeLessThan(6)
  expect(workshop.lastSeq()).toBe(before)
  expect(() => workshop.unit('PLV-0001')).toThrow(expect.objectContaining({ code: 'not-found' }))
  // Another rig is another matter.
  change({})
  const recordings = await record('PLV-0001')
  expect(workshop.recordTestRun({ serial: 'PLV-0001', rig: 'upload', recordings }).run.verdict).toBe('pass')
  await check()
  expect((await testUnit('PLV-0002')).run.verdict).toBe('pass')
})

test('units tested since the last good check wait to be tested again, until each one is', async () => {
  const { drift, check, test: testUnit, status, workshop, record } = await day()
  await testUnit('PLV-0001')
  await check()
  await testUnit('PLV-0002')
  await testUnit('PLV-0003')
  drift({ drift: { levelDb: 0.25 } })
  await testUnit('PLV-0004')
  const { doubtful, check: bad } = await check()
  expect(doubtful.map(({ serial, action, checkId }) => [serial, action, checkId])).toEqual([
    ['PLV-0002', 'take-back', bad.id],
    ['PLV-0003', 'take-back', bad.id],
    ['PLV-0004', 'take-back', bad.id],
  ])
  // A second look finds the same, and puts nobody on the list twice.
  expect((await check()).doubtful).toEqual([])
  expect(status()).toMatchObject({ state: 'drifted', retest: 3 })
  // Only the maker takes a unit off the shelf.
  expect(workshop.unit('PLV-0002').unit.state).toBe('ready')
  const { units } = workshop.rigChecks.takeBack({ serials: ['plv-0002'] })
  expect(units.map(({ serial, state }) => [serial, state])).toEqual([['PLV-0002', 'untested']])
  expect(workshop.unit('PLV-0002').history[0]).toMatchObject({
    verb: 'take-back',
    detail: { from: 'ready', to: 'untested' },
  })
  expect(() => workshop.rigChecks.takeBack({ serials: ['PLV-0001'] })).toThrow(
    expect.objectContaining({ code: 'not-found' }),
  )
  drift({})
  expect((await check()).check.outcome).toBe('good')
  await testUnit('PLV-0002')
  expect(workshop.rigChecks.retest().map(({ serial }) => serial)).toEqual(['PLV-0003', 'PLV-0004'])
  // A recording that proves nothing is no test.
  const nothing = silenced(await record('PLV-0003'))
  workshop.recordTestRun({ serial: 'PLV-0003', rig: 'simulated', recordings: nothing })
  expect(workshop.rigChecks.retest().map(({ serial, action }) => [serial, action])).toEqual([
    ['PLV-0003', 'test-again'],
    ['PLV-0004', 'take-back'],
  ])
  await testUnit('PLV-0003')
  await testUnit('PLV-0004')
  expect(workshop.rigChecks.retest()).toEqual([])
  expect(workshop.check().findings).toEqual([])
})

test('where no check was ever good, the list goes back to the reference', async () => {
  const { drift, check, test: testUnit } = await day()
  drift({ drift: { levelDb: -0.4 } })
  await testUnit('PLV-0001')
  expect((await check()).doubtful.map(({ serial }) => serial)).toEqual(['PLV-0001'])
})

test('a shipped unit is to be looked at, and is not taken back', async () => {
  const { drift, check, test: testUnit, workshop, file } = await day()
  await check()
  const { unit } = await testUnit('PLV-0001')
  // Orders do not exist yet, so the store ships it.
  const store = openStore(file)
  store.units.update({ ...unit, state: 'shipped', updatedAt: '2026-03-05T09:00:00.000Z' })
  store.close()
  drift({ drift: { levelDb: 0.4 } })
  const { doubtful } = await check()
  expect(doubtful).toMatchObject([{ serial: 'PLV-0001', state: 'shipped', action: 'look-at' }])
  expect(() => workshop.rigChecks.takeBack({ serials: ['PLV-0001'] })).toThrow(
    expect.objectContaining({ code: 'unit-not-testable' }),
  )
  expect(workshop.rigChecks.takeBack({}).units).toEqual([])
})

test('a check is due after a pause, after so many units, and after a new reference', async () => {
  const plan = { ...product.testPlan, rigCheck: { everyUnits: 2, pauseHours: 4, limitDb: 0.3, levelLimitDb: 0.2 } }
  const {
    check,
    test: testUnit,
    status,
    passHours,
    workshop,
    record,
  } = await day({ product: { ...product, testPlan: plan } })
  await check()
  await testUnit('PLV-0001')
  expect(status().state).toBe('good')
  await testUnit('PLV-0002')
  expect(status()).toMatchObject({ state: 'due', sentence: expect.stringContaining('2 units'), unitsSince: 2 })
  // Due is a reminder: a batch may be finished.
  expect((await testUnit('PLV-0003')).run.verdict).toBe('pass')
  await check()
  passHours(3.9)
  expect(status().state).toBe('good')
  passHours(0.2)
  expect(status()).toMatchObject({ state: 'due', sentence: expect.stringContaining('rested for 4 hours') })
  await check()
  const again = [...(await record('REFERENCE')), ...(await record('REFERENCE'))]
  workshop.addReference({ recordings: again })
  expect(status()).toMatchObject({ state: 'due', sentence: expect.stringContaining('made anew') })
  await check()
  expect(status().state).toBe('good')
})

test('a bad recording proves nothing: the check is repeated, and nothing stops or is trusted for it', async () => {
  const { check, record, workshop, status } = await day()
  await check()
  const recordings = silenced(await record('REFERENCE'))
  const { check: made } = workshop.rigChecks.record({ rig: 'simulated', recordings })
  expect(made).toMatchObject({ outcome: 'repeat', levelDb: null, shapeDb: null })
  expect(made.reasons[0]).toMatch(/^At maximum the recording proves nothing: /)
  expect(status()).toMatchObject({ state: 'good', lastCheck: { outcome: 'good' } })
  expect(workshop.rigChecks.list({}).map(({ outcome }) => outcome)).toEqual(['repeat', 'good'])
})

test('the file itself refuses a test run on a rig that has drifted, and a changed check', async () => {
  const { drift, check, file, test: testUnit, workshop } = await day()
  const { run } = await testUnit('PLV-0001')
  drift({ drift: { levelDb: 0.4 } })
  const { check: bad } = await check()
  const store = openStore(file)
  const other = { ...store.testRuns.find(run.id)!, id: 'R-000000000-0000' }
  expect(() => store.testRuns.insert({ run: other, impulseResponses: [] })).toThrow(/drifted/)
  store.close()
  expect(workshop.rigChecks.show(bad.id).outcome).toBe('drifted')
  // Two programs, one file: the other one stops too.
  const second = makeWorkshop({ store: openStore(file), station: 'desk' })
  opened.push(second)
  expect(second.rigChecks.status({ rig: 'simulated' }).state).toBe('drifted')
})

test.each([
  [
    'a setting is missing',
    (r: Awaited<ReturnType<Awaited<ReturnType<typeof rigDay>>['record']>>) => r.slice(1),
    'setting-missing',
  ],
  ['one recording is given twice', (r) => [r[0], { ...r[1], audio: r[0].audio }], 'recording-twice'],
])('refused: %s', async (_what, spoil, code) => {
  const { record, workshop } = await day()
  const recordings = spoil(await record('REFERENCE'))
  expect(() => workshop.rigChecks.record({ rig: 'simulated', recordings })).toThrow(expect.objectContaining({ code }))
  expect(workshop.rigChecks.list({})).toEqual([])
})

test('refused: without a reference there is nothing to compare with', async () => {
  const { check } = await day({ withReference: false })
  await expect(check()).rejects.toMatchObject({ code: 'no-reference' })
})

test('the reference board is no unit: it is neither registered nor tested', async () => {
  const { workshop, record } = await day()
  const before = workshop.lastSeq()
  const recordings = await record('REFERENCE')
  const refused = expect.objectContaining({ code: 'bad-serial', message: expect.stringContaining('reference board') })
  expect(() => workshop.recordTestRun({ serial: 'reference', rig: 'simulated', recordings })).toThrow(refused)
  expect(() => workshop.registerUnit({ serial: 'REFERENCE' })).toThrow(refused)
  expect(workshop.lastSeq()).toBe(before)
})
