import fc from 'fast-check'
import { expect, test } from 'vitest'
import { checkCharacter } from '../../src/model/check-character.ts'
import {
  lastSerialNumber,
  makeSerial,
  readSerialByPattern,
  SerialPattern,
  serialPatternOf,
} from '../../src/model/serial-pattern.ts'

const alphabet = '0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ'
const text = fc.string({ unit: fc.constantFrom(...alphabet), minLength: 1, maxLength: 20 })

// Source: examples in the public manual of another program's ISO 7064 MOD 37,36 function; the last is the worked example of
// the Global Release Identifier, which uses the same system.
test.each([
  ['123AB', 'X'],
  ['DADPIDA3897722461', 'J'],
  ['DA-DPIDA-3897722461-', 'J'],
  ['A1-2425G-ABC1234-002-', 'M'],
  ['a12425gabc1234002', 'M'],
])('the check character of %s is %s', (body, expected) => {
  expect(checkCharacter(body)).toBe(expected)
})

/** The other way round, from the definition in the standard: what a whole number must come to, written independently. */
function remainder(whole: string): number {
  let carry = 36
  const values = Array.from(whole, (character) => alphabet.indexOf(character))
  for (const value of values.slice(0, -1)) {
    carry = (carry + value) % 36
    if (carry === 0) carry = 36
    carry = (carry * 2) % 37
  }
  return (carry + values.at(-1)!) % 36
}

test('with its check character every text comes to 1, and one wrong character never does', () => {
  fc.assert(
    fc.property(text, fc.nat(), fc.constantFrom(...alphabet), (body, at, other) => {
      const whole = body + checkCharacter(body)
      expect(remainder(whole)).toBe(1)
      const place = at % whole.length
      fc.pre(whole[place] !== other)
      expect(remainder(whole.slice(0, place) + other + whole.slice(place + 1))).not.toBe(1)
    }),
    { numRuns: 2000 },
  )
})

test('two neighbours that changed places are nearly always found', () => {
  let pairs = 0
  let missed = 0
  for (const a of alphabet)
    for (const b of alphabet) {
      if (a === b) continue
      pairs++
      const body = `PLV0${a}${b}`
      if (checkCharacter(body) === checkCharacter(`PLV0${b}${a}`)) missed++
    }
  // The standard promises "all or nearly all".
  expect(missed / pairs).toBeLessThan(0.01)
})

test('a pattern makes serial numbers and knows its own', () => {
  const pattern = SerialPattern.parse('plv-####-?')
  const serial = makeSerial(pattern, 42)
  expect(serial).toBe(`PLV-0042-${checkCharacter('PLV0042')}`)
  expect(readSerialByPattern(pattern, serial)).toEqual({ kind: 'made', number: 42 })
  const wrong = serial.slice(0, -1) + (serial.endsWith('0') ? '1' : '0')
  expect(readSerialByPattern(pattern, wrong)).toEqual({ kind: 'mistyped', number: 42 })
  // A number from before the pattern had a check character: its running number is taken, too.
  expect(readSerialByPattern(pattern, 'PLV-0042')).toEqual({ kind: 'other', number: 42 })
  expect(readSerialByPattern(pattern, 'FHA-0042')).toEqual({ kind: 'other' })
  expect(lastSerialNumber(pattern)).toBe(9999)
  expect(readSerialByPattern('PLV-####', 'PLV-0007')).toEqual({ kind: 'made', number: 7 })
  expect(makeSerial('26##B', 7)).toBe('2607B')
  expect(serialPatternOf({ id: 'plover-2' })).toBe('PLO-####-?')
})

test.each(['PLV-0042', '####?##', 'PLV-#', 'PLV ####', '-####', 'PLV-####-', '##########', '?####', ''])(
  '"%s" is no pattern',
  (pattern) => {
    expect(SerialPattern.safeParse(pattern).success).toBe(false)
  },
)

test('whatever the pattern, different numbers give different serial numbers that read back', () => {
  const pattern = fc
    .tuple(fc.stringMatching(/^[A-Z]{1,5}-?$/), fc.integer({ min: 2, max: 6 }), fc.constantFrom('', '-A', '-?', '?'))
    .map(([head, digits, tail]) => SerialPattern.parse(head + '#'.repeat(digits) + tail))
  fc.assert(
    fc.property(pattern, fc.nat(), fc.nat(), (one, a, b) => {
      const [first, second] = [a % lastSerialNumber(one), b % lastSerialNumber(one)]
      expect(readSerialByPattern(one, makeSerial(one, first))).toEqual({ kind: 'made', number: first })
      if (first !== second) expect(makeSerial(one, first)).not.toBe(makeSerial(one, second))
    }),
  )
})
