import { expect, test } from 'vitest'
import {
  fullScaleFromData,
  fullScaleFromReading,
  levelOfVoltage,
  levelUnitsOfPeak,
  peakVoltage,
  voltageGainOffsetDb,
} from '../../src/response/level/level-calibration.ts'

// By hand, and by CHECKS 03-O20 (0 dBu = sqrt(0.6) V; a sine whose peak is full scale reads 0 dBFS, AES17-2015).

test.each([
  // 1.0 V r.m.s. has a peak of 1.41421356 V; at -20 dBFS that is a tenth of full scale.
  ['rms', 1, -20, 14.1421356237],
  // A scope shows 0.4 V from top to bottom: a peak of 0.2 V, and -26 dBFS is 1/19.9526.
  ['peak-to-peak', 0.4, -26, 3.9905246299],
  ['peak', 0.2, -26, 3.9905246299],
  ['peak', 2.5, 0, 2.5],
] as const)('a reading of %s %d V at %d dBFS means %d V at full scale', (reading, readingV, levelDbfs, expected) => {
  expect(fullScaleFromReading({ readingV, reading, levelDbfs }).fullScaleV).toBeCloseTo(expected, 9)
})

test.each([
  // 03-O20: 0 dBu is 0.77459666924 V.
  ['dBu', 0, 0.77459666924 * Math.SQRT2],
  ['dBu', 20, 7.7459666924 * Math.SQRT2],
  // 03-O20: 0 dBu is -2.2184874962 dBV.
  ['dBV', -2.2184874962, 0.77459666924 * Math.SQRT2],
  ['Vrms', 2, 2.8284271247],
] as const)('an interface of %s %d has a peak of %d V at full scale', (unit, level, expected) => {
  expect(fullScaleFromData({ level, unit }).fullScaleV).toBeCloseTo(expected, 8)
})

test('a volt is +2.2184874962 dBu and 0 dBV (03-O20)', () => {
  const { rmsV, levelDbu, levelDbv } = levelUnitsOfPeak(Math.SQRT2)
  expect(rmsV).toBeCloseTo(1, 12)
  expect(levelDbu).toBeCloseTo(2.2184874962, 9)
  expect(levelDbv).toBeCloseTo(0, 12)
})

test('volts and dBFS both ways', () => {
  // Half of full scale is -6.0206 dB.
  expect(levelOfVoltage({ peakV: 2, fullScaleV: 4 })).toBeCloseTo(-6.0205999133, 9)
  expect(peakVoltage({ levelDbfs: -6.0205999133, fullScaleV: 4 })).toBeCloseTo(2, 9)
})

test('a wire between 4 V out and 2 V in reads +6.02 dB; the offset takes that away', () => {
  const calibration = { fullScaleOutV: 4, fullScaleInV: 2 }
  const playedV = peakVoltage({ levelDbfs: -20, fullScaleV: calibration.fullScaleOutV })
  const recordedDbfs = levelOfVoltage({ peakV: playedV, fullScaleV: calibration.fullScaleInV })
  expect(recordedDbfs + 20).toBeCloseTo(6.0205999133, 9)
  expect(recordedDbfs + 20 + voltageGainOffsetDb(calibration)).toBeCloseTo(0, 12)
})

test.each([
  ['a reading of nothing', () => fullScaleFromReading({ readingV: 0, reading: 'rms', levelDbfs: -20 })],
  ['a reading that is no number', () => fullScaleFromReading({ readingV: Number.NaN, reading: 'rms', levelDbfs: -20 })],
  ['a tone above full scale', () => fullScaleFromReading({ readingV: 1, reading: 'rms', levelDbfs: 3 })],
  ['data of no volts', () => fullScaleFromData({ level: -1, unit: 'Vrms' })],
  ['no peak', () => levelOfVoltage({ peakV: 0, fullScaleV: 1 })],
  ['no full scale', () => voltageGainOffsetDb({ fullScaleOutV: 0, fullScaleInV: 1 })],
])('%s is refused', (_, call) => {
  expect(call).toThrow(expect.objectContaining({ code: 'bad-argument' }))
})
