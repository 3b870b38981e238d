import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { shiftedRange } from '../../../src/response/hard/shifted-range.ts'

const axis = [0, 1, 2, 3, 4]

describe('range of a curve within a reach', () => {
  it('of a straight line is its slope times the reach', () => {
    const range = shiftedRange({ axis, values: axis.map((x) => 3 * x), place: 2, reach: 0.5 })
    expect(range).toEqual({ least: 4.5, greatest: 7.5 })
  })
  it('sees a peak between its ends', () => {
    expect(shiftedRange({ axis, values: [0, 0, 9, 0, 0], place: 1.8, reach: 1 }).greatest).toBe(9)
  })
  it('goes on as the last two points run', () => {
    expect(shiftedRange({ axis, values: axis, place: 4, reach: 2 }).greatest).toBeCloseTo(6, 12)
  })
  it('holds every point that a fine search finds', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -50, max: 50, noNaN: true }), { minLength: 5, maxLength: 5 }),
        fc.double({ min: 0, max: 4, noNaN: true }),
        fc.double({ min: 0.01, max: 1, noNaN: true }),
        (values, place, reach) => {
          const range = shiftedRange({ axis, values, place, reach })
          for (let i = 0; i <= 50; i++) {
            const x = Math.min(4, Math.max(0, place - reach + (2 * reach * i) / 50))
            const k = Math.min(3, Math.floor(x))
            const value = values[k] + (x - k) * (values[k + 1] - values[k])
            if (Math.abs(x - place) > reach) continue
            expect(value).toBeGreaterThanOrEqual(range.least - 1e-9)
            expect(value).toBeLessThanOrEqual(range.greatest + 1e-9)
          }
        },
      ),
      { numRuns: 100 },
    )
  })
})
