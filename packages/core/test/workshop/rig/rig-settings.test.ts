import { join } from 'node:path'
import Database from 'better-sqlite3'
import { expect, test } from 'vitest'
import { temporaryFolder } from '../../store/temporary-folder.ts'
import { newWorkshop } from '../new-workshop.ts'

const devices = { output: { device: 'usb' }, input: { device: 'usb_in', channel: 1 } }

test('the first version needs devices; each change is a new version with its journal entry', () => {
  const workshop = newWorkshop()
  expect(workshop.rig.current()).toBeUndefined()
  expect(() => workshop.rig.save({ changes: { maxLevelDbfs: -20 } })).toThrow(/choose an output and an input/)
  const first = workshop.rig.save({ changes: devices })
  expect(first).toMatchObject({ name: 'rig', version: 1, maxLevelDbfs: -12, settingChange: 'by-hand' })
  const second = workshop.rig.save({ changes: { maxLevelDbfs: -20 } })
  expect(second).toEqual({ ...first, version: 2, maxLevelDbfs: -20, changedAt: second.changedAt })
  expect(workshop.rig.current()).toEqual(second)
  expect(workshop.rig.history()).toEqual([second, first])
  expect(workshop.rig.version({ name: 'rig', version: 1 })).toEqual(first)
  const entries = workshop.journalSince(0).filter((entry) => entry.noun === 'rig')
  expect(entries.map(({ verb, key, detail }) => ({ verb, key, detail }))).toEqual([
    expect.objectContaining({ verb: 'save-rig', key: 'rig', detail: expect.objectContaining({ version: 1 }) }),
    { verb: 'save-rig', key: 'rig', detail: { version: 2, changed: ['maxLevelDbfs'] } },
  ])
  expect(workshop.check()).toMatchObject({ ok: true })
  workshop.close()
})

test('rigs have names of their own', () => {
  const workshop = newWorkshop()
  workshop.rig.save({ name: 'attic', changes: devices })
  workshop.rig.save({ changes: devices })
  workshop.rig.save({ changes: { rateHz: 96_000 } })
  expect(workshop.rig.names()).toEqual(['attic', 'rig'])
  expect(workshop.rig.current('attic')).toMatchObject({ version: 1, rateHz: 48_000 })
  expect(workshop.rig.history('attic')).toHaveLength(1)
  expect(() => workshop.rig.save({ name: 'My Rig', changes: devices })).toThrow(/no name of a rig/)
  workshop.close()
})

test.each([
  ['a level above full scale', { maxLevelDbfs: 3 }],
  ['a channel that no interface has', { output: { device: 'usb', channel: 64 } }],
  ['a rate out of range', { rateHz: 8000 }],
  ['a load of nothing', { loadResistanceOhm: 0 }],
])('%s is refused in a sentence, and no version is made', (_, changes) => {
  const workshop = newWorkshop()
  workshop.rig.save({ changes: devices })
  expect(() => workshop.rig.save({ changes })).toThrow(expect.objectContaining({ code: 'bad-argument' }))
  expect(workshop.rig.history()).toHaveLength(1)
  workshop.close()
})

test('what was measured through other devices is dropped with them', () => {
  const workshop = newWorkshop()
  workshop.rig.save({ changes: { ...devices, sourceResistanceOhm: 100 } })
  const from = { kind: 'data', output: { level: 4, unit: 'dBu' }, input: { level: 4, unit: 'dBu' } } as const
  workshop.rig.calibrateLevels({ from })
  expect(workshop.rig.save({ changes: { maxLevelDbfs: -18 } }).calibration).not.toBeNull()
  const moved = workshop.rig.save({ changes: { input: { device: 'usb_in', channel: 0 } } })
  expect(moved).toMatchObject({ calibration: null, maxLevelDbfs: -18 })
  workshop.close()
})

test('levels are calibrated by a voltmeter or by data', () => {
  const workshop = newWorkshop()
  expect(() => workshop.rig.calibrateLevels({ from: meter(1) })).toThrow(expect.objectContaining({ code: 'no-rig' }))
  workshop.rig.save({ changes: devices })
  // 0.5 V r.m.s. has a peak of 0.7071 V; played at -20 dBFS that is a tenth of full scale, recorded at -14 dBFS a fifth.
  const { calibration } = workshop.rig.calibrateLevels({ from: meter(0.5) })
  expect(calibration?.fullScaleOutV).toBeCloseTo(7.0711, 4)
  expect(calibration?.fullScaleInV).toBeCloseTo(Math.SQRT1_2 * 10 ** (14 / 20), 4)
  expect(calibration?.method).toBe('voltmeter at 200 Hz')
  // +4 dBu is 1.2277 V r.m.s. (0 dBu = sqrt(0.6) V, IEC 60268-2), 1.7362 V peak; 0 dBV is 1 V r.m.s.
  const output = { level: 4, unit: 'dBu' } as const
  const data = workshop.rig.calibrateLevels({ from: { kind: 'data', output, input: { level: 0, unit: 'dBV' } } })
  expect(data.calibration?.fullScaleOutV).toBeCloseTo(1.7362, 3)
  expect(data.calibration?.fullScaleInV).toBeCloseTo(Math.SQRT2, 6)
  // 500 typed for 0.5: millivolts.
  expect(() => workshop.rig.calibrateLevels({ from: meter(500) })).toThrow(/which no sound interface has/)
  expect(workshop.rig.history()).toHaveLength(3)
  workshop.close()
})

const meter = (readingV: number) =>
  ({
    kind: 'voltmeter',
    playedDbfs: -20,
    recordedDbfs: -14,
    frequencyHz: 200,
    readingV,
    reading: 'rms',
  }) as const

test('source and load come from three levels', () => {
  const workshop = newWorkshop()
  workshop.rig.save({ changes: devices })
  // 100 ohm into 10 kohm, with a resistor of 1 kohm: 10/10.1, 10/11.1 and (10/11)/(10/11 + 0.1) by hand.
  const drops = { resistorOhm: 1000, straight: 10 / 10.1, inSeries: 10 / 11.1, toGround: 10 / 11 / (10 / 11 + 0.1) }
  const settings = workshop.rig.storeResistances(drops)
  expect(settings.sourceResistanceOhm).toBeCloseTo(100, 6)
  expect(settings.loadResistanceOhm).toBeCloseTo(10_000, 4)
  expect(() => workshop.rig.storeResistances({ ...drops, inSeries: 1 })).toThrow(/do not fall as one resistor/)
  workshop.close()
})

test('no program can change a version, or put one out of turn', () => {
  const file = join(temporaryFolder(), 'rig.boardwright')
  const workshop = newWorkshop({ file })
  workshop.rig.save({ changes: devices })
  workshop.close()
  const db = new Database(file)
  for (const statement of [
    "UPDATE rig_settings SET content = '{}'",
    'DELETE FROM rig_settings',
    "INSERT INTO rig_settings VALUES ('rig', 3, '2026-01-01T00:00:00Z', '{}')",
    "INSERT OR REPLACE INTO rig_settings VALUES ('rig', 1, '2026-01-01T00:00:00Z', '{}')",
  ])
    expect(() => db.exec(statement), statement).toThrow(/frozen|next version/)
  db.close()
})

test('an overruled contact check is in the history of the unit', () => {
  const workshop = newWorkshop()
  workshop.registerUnit({ serial: 'PLV-0001' })
  const what = { setting: 'max', kind: 'open-pin', message: 'The pin at out does not touch.' } as const
  workshop.rig.noteContactOverridden({ serial: 'plv-0001', ...what })
  expect(workshop.unit('PLV-0001').history[0]).toMatchObject({ verb: 'overrule-contact', detail: what })
  workshop.close()
})
