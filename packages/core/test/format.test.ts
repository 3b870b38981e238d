import { describe, expect, test } from 'vitest'
import {
  formatAgo,
  formatCurrent,
  formatDb,
  formatDbfs,
  formatDuration,
  formatHz,
  formatPercent,
  formatProbability,
  formatRate,
  formatVoltage,
  formatWhen,
} from '../src/model/format.ts'

describe('quantities', () => {
  test.each([
    [20, '20 Hz'],
    [98.43, '98.4 Hz'],
    [999.4, '999 Hz'],
    // Rounds up into the next unit instead of writing "1000 Hz".
    [999.9, '1 kHz'],
    [1250, '1.25 kHz'],
    [20_000, '20 kHz'],
    [Number.NaN, '? Hz'],
  ])('frequency %s', (value, text) => expect(formatHz(value)).toBe(text))

  test.each([
    [44_100, '44.1 kHz'],
    [48_000, '48 kHz'],
    [176_400, '176.4 kHz'],
  ])('rate %s', (value, text) => expect(formatRate(value)).toBe(text))

  test.each([
    [0.714, '71 %'],
    // Rounded it would be a certainty, and there is none.
    [0.998, '> 99 %'],
    [0.0004, '< 1 %'],
    [0, '< 1 %'],
    [1, '> 99 %'],
    [Number.NaN, '? %'],
  ])('probability %s', (value, text) => expect(formatProbability(value)).toBe(text))

  test.each([
    [4.3512, '4.35 V'],
    [-0.0123, '\u221212.3 mV'],
    [0, '0 V'],
  ])('voltage %s', (value, text) => expect(formatVoltage(value)).toBe(text))

  test.each([
    [0.00052, '520 µA'],
    [0.0123, '12.3 mA'],
    [1.25, '1.25 A'],
    [0, '0 A'],
  ])('current %s', (value, text) => expect(formatCurrent(value)).toBe(text))

  // The minus is U+2212, not the hyphen: SI brochure (9th edition) on writing quantity values.
  test.each([
    [3.14, {}, '3.1 dB'],
    [3.14, { signed: true, digits: 2 }, '+3.14 dB'],
    [-0.96, { signed: true }, '\u22121.0 dB'],
    [-0.04, { signed: true }, '0.0 dB'],
    [0.04, { signed: true }, '0.0 dB'],
    [Number.NEGATIVE_INFINITY, {}, '? dB'],
  ])('level %s %o', (value, options, text) => expect(formatDb(value, options)).toBe(text))

  test('full scale', () => expect(formatDbfs(-91.26)).toBe('\u221291.3 dBFS'))

  test.each([
    [0.01234, '0.012 %'],
    [1.44, '1.4 %'],
    [0, '0 %'],
    [0.0000001, '< 0.0001 %'],
  ])('per cent %s', (value, text) => expect(formatPercent(value)).toBe(text))

  test.each([
    [0, '0 s'],
    [4, '4 s'],
    [0.0125, '12.5 ms'],
    [0.00034, '340 µs'],
  ])('duration %s', (value, text) => expect(formatDuration(value)).toBe(text))
})

describe('moments', () => {
  test('in the time zone of the reader: UTC+13 is already the next day', () => {
    expect(formatWhen('2026-11-25T10:44:00Z', { timeZone: 'UTC' })).toBe('25 Nov 2026, 10:44')
    expect(formatWhen('2026-11-25T12:44:00Z', { timeZone: 'Pacific/Auckland' })).toBe('26 Nov 2026, 01:44')
  })

  test('a text that is no time does not throw', () => expect(formatWhen('yesterday')).toBe('?'))

  test.each([
    ['2026-11-25T10:43:30Z', 'just now'],
    ['2026-11-25T10:50:00Z', 'just now'],
    ['2026-11-25T10:39:00Z', '5 min ago'],
    ['2026-11-25T07:43:00Z', '3 h ago'],
    ['2026-11-24T10:43:59Z', '1 day ago'],
    ['2026-11-23T07:43:00Z', '2 days ago'],
    ['2026-10-25T07:43:00Z', '25 Oct 2026, 07:43'],
  ])('%s is %s', (at, text) =>
    expect(formatAgo(at, { now: new Date('2026-11-25T10:44:00Z'), timeZone: 'UTC' })).toBe(text),
  )
})
