import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { formatQuantity, parseQuantity } from '../../src/circuit/quantity.ts'
import { isBoardwrightError } from '../../src/model/error.ts'

describe('letter codes', () => {
  // Source: IEC 60062 letter and digit code; outside check values 01-O06 and 01-O07 (codes from memory, values computed).
  it.each([
    ['4K7', 4700],
    ['4k7', 4700],
    ['R47', 0.47],
    ['1M0', 1e6],
    ['100R', 100],
    ['2M2', 2.2e6],
    ['10K', 1e4],
    ['3R3', 3.3],
    ['0R1', 0.1],
    ['1K21', 1210],
    ['5K62', 5620],
    ['49R9', 49.9],
    ['330R', 330],
  ])('reads the resistance %s exactly', (text, ohm) => expect(parseQuantity(text, 'resistance')).toBe(ohm))

  it.each([
    ['4n7', 4.7e-9],
    ['100n', 1e-7],
    ['2u2', 2.2e-6],
    ['2µ2', 2.2e-6],
    ['p47', 4.7e-13],
    ['1p5', 1.5e-12],
    ['6m8', 0.0068],
    ['4n7F', 4.7e-9],
    ['100nF', 1e-7],
  ])('reads the capacitance %s exactly', (text, farad) => expect(parseQuantity(text, 'capacitance')).toBe(farad))
})

describe('numbers with units', () => {
  it.each([
    ['4.7 nF', 'capacitance', 4.7e-9],
    ['10 µF', 'capacitance', 1e-5],
    ['10 \u03bcF', 'capacitance', 1e-5],
    ['47 kohm', 'resistance', 47e3],
    ['47 k\u03a9', 'resistance', 47e3],
    ['47 k\u2126', 'resistance', 47e3],
    ['1 Mohm', 'resistance', 1e6],
    ['3 Ohms', 'resistance', 3],
    ['0.25 mA', 'current', 2.5e-4],
    ['1 MHz', 'frequency', 1e6],
    ['9 V', 'voltage', 9],
    ['2.2 mH', 'inductance', 2.2e-3],
    ['4700', 'resistance', 4700],
    ['4.7e3', 'resistance', 4700],
    ['47k', 'resistance', 47e3],
    ['4.7 m', 'inductance', 4.7e-3],
    [470, 'resistance', 470],
  ] as const)('reads %s as %s', (text, dimension, value) => expect(parseQuantity(text, dimension)).toBe(value))
})

describe('what is not a value', () => {
  it.each([
    ['', 'resistance'],
    ['R', 'resistance'],
    ['nF', 'capacitance'],
    ['4.7 nF', 'resistance'],
    ['4n7', 'resistance'],
    ['4k7', 'capacitance'],
    ['4,7 nF', 'capacitance'],
    ['1,000 ohm', 'resistance'],
    ['4.7 banana', 'capacitance'],
    ['4k7k', 'resistance'],
    [Number.NaN, 'resistance'],
    [Number.POSITIVE_INFINITY, 'resistance'],
  ] as const)('refuses %j as a %s with bad-quantity', (text, dimension) => {
    try {
      parseQuantity(text, dimension)
      expect.unreachable()
    } catch (error) {
      expect(isBoardwrightError(error) && error.code).toBe('bad-quantity')
      expect((error as Error).message).toContain(String(text))
    }
  })

  it('never throws anything else, whatever is typed', () => {
    fc.assert(
      fc.property(fc.string(), (text) => {
        try {
          expect(Number.isFinite(parseQuantity(text, 'capacitance'))).toBe(true)
        } catch (error) {
          expect(isBoardwrightError(error)).toBe(true)
        }
      }),
    )
  })
})

describe('writing', () => {
  it.each([
    [4.7e-9, 'capacitance', '4.7 nF'],
    [47e3, 'resistance', '47 kΩ'],
    [0.25e-3, 'current', '250 µA'],
    [999_960, 'resistance', '1 MΩ'],
    [0.47, 'resistance', '470 mΩ'],
    [0, 'voltage', '0 V'],
    [-0.0033, 'voltage', '-3.3 mV'],
    [1e15, 'frequency', '1000 THz'],
  ] as const)('writes %s as a %s', (value, dimension, text) => expect(formatQuantity(value, dimension)).toBe(text))

  it('is read back as the same value', () => {
    fc.assert(
      fc.property(fc.integer({ min: 100, max: 999 }), fc.integer({ min: -14, max: 8 }), (mantissa, exponent) => {
        const value = Number(`${mantissa}e${exponent}`)
        expect(parseQuantity(formatQuantity(value, 'capacitance'), 'capacitance')).toBe(value)
      }),
    )
  })
})
