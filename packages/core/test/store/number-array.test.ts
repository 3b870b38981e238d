import fc from 'fast-check'
import { expect, test } from 'vitest'
import { decodeNumbers, encodeNumbers, encodeShortNumbers } from '../../src/store/number-array.ts'

test('any numbers come back bit for bit, from lists and typed arrays alike', () => {
  fc.assert(
    fc.property(fc.float64Array({ maxLength: 300 }), (values) => {
      const blob = encodeNumbers(values)
      expect(encodeNumbers(Array.from(values)).equals(blob)).toBe(true)
      expect(new Uint8Array(decodeNumbers(blob, 'x').buffer)).toEqual(new Uint8Array(values.slice().buffer))
    }),
  )
})

test('numbers rounded to 32 bits come back the same from the short form', () => {
  fc.assert(
    fc.property(fc.float32Array({ maxLength: 300 }), (values) => {
      expect(decodeNumbers(encodeShortNumbers(values), 'x')).toEqual(Float64Array.from(values))
    }),
  )
  // IEEE 754: 1.5 is 3FC00000. The sum is that of Python's zlib.crc32 over the bytes before it.
  expect(encodeShortNumbers([1.5]).toString('hex')).toBe('03000000010000000000c03f72ee7dbd')
})

test('the layout is the one that is written down: kind, count, little-endian 64-bit floats, sum', () => {
  // IEEE 754: 1.5 is 3FF8000000000000, -2 is C000000000000000. The sum is that of Python's zlib.crc32.
  expect(encodeNumbers([1.5, -2]).toString('hex')).toBe('0400000002000000000000000000f83f00000000000000c02d237e69')
})

test('a view into a larger buffer is read where it stands', () => {
  const blob = encodeNumbers(Float64Array.of(9, 1, 2, 9).subarray(1, 3))
  const shifted = Buffer.concat([Buffer.from([7, 7, 7]), blob]).subarray(3)
  expect(Array.from(decodeNumbers(shifted, 'x'))).toEqual([1, 2])
})

test('whatever bytes stand in the file, the answer is numbers or a clear error', () => {
  fc.assert(
    fc.property(fc.uint8Array({ maxLength: 64 }), (bytes) => {
      try {
        const { length } = decodeNumbers(bytes, 'test run R-1')
        expect(bytes.length - (bytes[0] > 2 ? 12 : 8)).toBe(length * (bytes[0] % 2 === 1 ? 4 : 8))
      } catch (error) {
        expect(error).toMatchObject({ code: 'file-damaged', message: expect.stringContaining('test run R-1') })
      }
    }),
  )
})

test.each([
  ['cut off', encodeNumbers([1, 2, 3]).subarray(0, 20)],
  ['too long', Buffer.concat([encodeNumbers([1]), Buffer.alloc(8)])],
  ['empty', Buffer.alloc(0)],
  ['of another kind', Buffer.concat([Buffer.from([9]), encodeNumbers([1]).subarray(1)])],
])('a blob that is %s is called damaged', (_name, blob) => {
  expect(() => decodeNumbers(blob, 'x')).toThrow(expect.objectContaining({ code: 'file-damaged' }))
})

test('one changed bit anywhere in a blob is noticed', () => {
  const blob = encodeShortNumbers([0.25, -1e-3, 7])
  for (let bit = 0; bit < 8 * blob.length; bit++) {
    const changed = Buffer.from(blob)
    changed[bit >> 3] ^= 1 << (bit & 7)
    expect(() => decodeNumbers(changed, 'x'), `bit ${bit}`).toThrow(expect.objectContaining({ code: 'file-damaged' }))
  }
})

test('blobs of files from before there was a sum are read as they are', () => {
  // IEEE 754: 1.5 is 3FF8000000000000 in 64 bits, 3FC00000 in 32.
  expect(Array.from(decodeNumbers(Buffer.from('0200000001000000000000000000f83f', 'hex'), 'x'))).toEqual([1.5])
  expect(Array.from(decodeNumbers(Buffer.from('01000000010000000000c03f', 'hex'), 'x'))).toEqual([1.5])
})
