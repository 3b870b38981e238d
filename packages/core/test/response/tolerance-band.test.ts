import { bandLimits } from '@boardwright/core'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { bandIsCovered } from '../../src/response/judge/tolerance-band.ts'

const band = {
  breakpoints: [
    { frequencyHz: 100, upperDb: 1, lowerDb: -2 },
    { frequencyHz: 1000, upperDb: 3, lowerDb: -1 },
    { frequencyHz: 10_000, upperDb: 3, lowerDb: -4 },
  ],
}

describe('tolerance band on a grid', () => {
  // A decade is one unit of log10 f: half-way in dB lies at the geometric mean.
  test('is linear in dB over the logarithm of frequency', () => {
    const limits = bandLimits({ band, frequencyHz: [100, Math.sqrt(1e5), 1000, 2000, 10_000] })
    ;[1, 2, 3, 3, 3].forEach((upper, i) => {
      expect(limits.upperDb[i]).toBeCloseTo(upper, 12)
    })
    ;[-2, -1.5, -1, -1 - 3 * Math.log10(2), -4].forEach((lower, i) => {
      expect(limits.lowerDb[i]).toBeCloseTo(lower, 12)
    })
  })

  test('does not judge outside its ends, and says which points of the grid it judges', () => {
    const limits = bandLimits({ band, frequencyHz: [20, 99, 100, 5000, 10_000, 10_001] })
    expect(limits.index).toEqual([2, 3, 4])
    expect(limits.frequencyHz).toEqual([100, 5000, 10_000])
  })

  test('lies between the neighbouring breakpoints everywhere', () => {
    fc.assert(
      fc.property(fc.double({ min: 100, max: 10_000, noNaN: true }), (f) => {
        const { upperDb, lowerDb } = bandLimits({ band, frequencyHz: [f] })
        expect(upperDb[0]).toBeGreaterThanOrEqual(1)
        expect(upperDb[0]).toBeLessThanOrEqual(3)
        expect(lowerDb[0]).toBeGreaterThanOrEqual(-4)
        expect(lowerDb[0]).toBeLessThanOrEqual(-1)
      }),
    )
  })

  test('is covered only when the points reach both of its ends, within a twelfth of an octave', () => {
    expect(bandIsCovered({ band, frequencyHz: [105, 1000, 9500] })).toBe(true)
    expect(bandIsCovered({ band, frequencyHz: [107, 1000, 9500] })).toBe(false)
    expect(bandIsCovered({ band, frequencyHz: [105, 1000, 9400] })).toBe(false)
    expect(bandIsCovered({ band, frequencyHz: [] })).toBe(false)
  })
})
