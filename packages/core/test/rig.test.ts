import { expect, test } from 'vitest'
import { RigSettings, reviseRigSettings } from '../src/model/rig.ts'

const first = RigSettings.parse({
  version: 1,
  changedAt: '2026-03-02T08:00:00Z',
  output: { device: 'rig' },
  input: { device: 'rig_in' },
})

test('what is not told is careful: a level limit, 24 bits, nothing calibrated', () => {
  expect(first).toMatchObject({ maxLevelDbfs: -12, leastBits: 24, rateHz: 48_000, calibration: null, correction: null })
})

test('a change makes the next version and leaves the old one as it was', () => {
  const second = reviseRigSettings(first, { maxLevelDbfs: -20 }, new Date('2026-03-03T09:30:00Z'))
  expect(second).toEqual({ ...first, version: 2, changedAt: '2026-03-03T09:30:00.000Z', maxLevelDbfs: -20 })
  expect(first).toMatchObject({ version: 1, maxLevelDbfs: -12 })
})

const correction = {
  measuredAt: '2026-03-02T08:00:00Z',
  frequencyHz: [20, 1000],
  gainDb: [-0.2, 0],
  phaseDeg: [5, 0],
  uncertaintyDb: [0.01, 0.01],
}

test.each([
  ['a level above full scale', { maxLevelDbfs: 1 }],
  ['a rate that no sweep can have', { rateHz: 8000 }],
  ['a load of nothing', { loadResistanceOhm: 0 }],
  ['a calibration without volts', { calibration: { ...correction, fullScaleOutV: 0, fullScaleInV: 1, method: 'x' } }],
  ['a correction with a phase too few', { correction: { ...correction, phaseDeg: [5] } }],
  ['a correction whose frequencies fall', { correction: { ...correction, frequencyHz: [1000, 20] } }],
  ['a device without a name', { output: { device: '' } }],
])('%s is no setting of a rig', (_, changes) => {
  expect(RigSettings.safeParse({ ...first, correction, ...changes }).success).toBe(false)
  expect(RigSettings.safeParse({ ...first, correction }).success).toBe(true)
})
