import { expect, test } from 'vitest'
import { readDataLevel, readOhm, readVolts } from '../src/session/setup/typed-level.ts'

test.each([
  ['4700', 4700],
  ['4.7k', 4700],
  ['4,7k', 4700],
  ['4k7', 4700],
  ['100R', 100],
  ['2r2', 2.2],
  ['10 kohm', 10_000],
  ['1M', 1e6],
  ['0', 0],
  ['-5', undefined],
  ['', undefined],
  ['ten', undefined],
])('%s is %s ohm', (text, ohm) => {
  const read = readOhm(text)
  if (ohm === undefined) expect(read).toBeUndefined()
  else expect(read).toBeCloseTo(ohm, 9)
})

test.each([
  ['+4 dBu', { level: 4, unit: 'dBu' }],
  ['-7.8 dBu', { level: -7.8, unit: 'dBu' }],
  ['−7,8 dBu', { level: -7.8, unit: 'dBu' }],
  ['6dBV', { level: 6, unit: 'dBV' }],
  ['2 V', { level: 2, unit: 'Vrms' }],
  ['2 V r.m.s.', { level: 2, unit: 'Vrms' }],
  ['4', undefined],
  ['loud', undefined],
])('%s is a level of a data sheet, or none', (text, level) => {
  expect(readDataLevel(text)).toEqual(level)
})

test('a voltage is above zero', () => {
  expect(readVolts('520 mV')).toBeCloseTo(0.52, 9)
  expect(readVolts('0,52')).toBeCloseTo(0.52, 9)
  for (const text of ['0', '-1', '0.5 A', 'x']) expect(readVolts(text)).toBeUndefined()
})
