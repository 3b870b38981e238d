import { expect, test } from 'vitest'
import { colourBands } from '../../src/build/colour-bands.ts'
import { digitCode } from '../../src/build/digit-code.ts'
import { partMarking } from '../../src/build/part-marking.ts'
import { toleranceLetter } from '../../src/build/tolerance-letter.ts'
import { Part } from '../../src/model/part.ts'
import tables from './fixtures/marking-tables.json' with { type: 'json' }

// Source of the tables: IEC 60062 (colours, letters) and IEC 60063 (E series), as in this project's check data, which was
// compared with public tables; grey as a tolerance is left out there, since those disagree.
const { colourCode, toleranceLetters, preferredNumbers } = tables
const digitOf: Record<string, number> = colourCode.digit
const factorOf: Record<string, number> = colourCode.multiplier
const percentOf: Record<string, number> = colourCode.tolerance_percent

/** Reads bands as a person with the table in hand does. */
function readBands(colours: readonly string[], count: number): { ohm: number; percent?: number } {
  const digits = colours.slice(0, count).map((colour) => digitOf[colour]!)
  const ohm = Number(digits.join('')) * factorOf[colours[count]!]!
  const last = colours[count + 1]
  return { ohm, percent: last === undefined ? undefined : percentOf[last] }
}
const colours = (resistanceOhm: number, tolerance?: number) =>
  colourBands({ resistanceOhm, tolerance })?.map(({ colour }) => colour)

test.each([
  // Worked examples of this project's check data, 01-O01 to 01-O03, and such as every bench has on its wall.
  [47_000, 0.01, 'yellow violet black red brown'],
  [4700, 0.01, 'yellow violet black brown brown'],
  [5.6, 0.05, 'green blue gold gold'],
  [22, 0.05, 'red red black gold'],
  [249_000, 0.01, 'red yellow white orange brown'],
  [1_000_000, 0.01, 'brown black black yellow brown'],
  [0.1, 0.05, 'brown black silver gold'],
  [0, undefined, 'black'],
  [10_000, undefined, 'brown black orange'],
])('%d ohm at %s is %s', (ohm, tolerance, expected) => {
  expect(colours(ohm, tolerance)?.join(' ')).toBe(expected)
})

test('every value of E24 at 5 % and of E96 at 1 % reads back from its bands', () => {
  const series = { E24: { tolerance: 0.05, digits: 2 }, E96: { tolerance: 0.01, digits: 3 } }
  let read = 0
  for (const [name, { tolerance, digits }] of Object.entries(series))
    for (const value of preferredNumbers[name as keyof typeof preferredNumbers])
      for (let decade = 0; decade <= 6; decade++) {
        const ohm = Number((value * 10 ** decade).toPrecision(6))
        const back = readBands(colours(ohm, tolerance)!, digits)
        expect(back.ohm / ohm, String(ohm)).toBeCloseTo(1, 9)
        expect(back.percent).toBeCloseTo(100 * tolerance, 9)
        read++
      }
  expect(read).toBe(7 * (24 + 96))
})

test('a value with more digits than bands has none', () => {
  expect(colours(12_345, 0.01)).toBeUndefined()
  expect(colours(Number.NaN, 0.01)).toBeUndefined()
  expect(colours(1e13, 0.05)).toBeUndefined()
})

test.each([
  // 01-O04 and 01-O08 of the check data, the other way round.
  [10, 2, '100'],
  [100, 2, '101'],
  [47_000, 2, '473'],
  [220_000, 2, '224'],
  [68, 2, '680'],
  [5.6, 2, '5R6'],
  [0.5, 2, '0R50'],
  [47_000, 3, '4702'],
  [49.9, 3, '49R9'],
  [1, 2, '1R0'],
])('%d with %d digits is %s', (value, digits, expected) => {
  expect(digitCode(value, digits)).toBe(expected)
})

test('tolerance letters are those of the table', () => {
  for (const [letter, percent] of Object.entries(toleranceLetters.symmetric_percent))
    expect(toleranceLetter(47e-9, percent / 100)).toBe(letter)
  for (const [letter, [below, above]] of Object.entries(toleranceLetters.asymmetric_percent))
    expect(toleranceLetter(47e-9, [below! / 100, above! / 100])).toBe(letter)
  for (const [letter, picofarads] of Object.entries(toleranceLetters.capacitors_below_10pF_in_pF))
    expect(toleranceLetter(5.6e-12, picofarads / 5.6)).toBe(letter)
  expect(toleranceLetter(47e-9, 0.07)).toBeUndefined()
})

const part = (what: Partial<Part> & Pick<Part, 'kind'>) => Part.parse({ number: 'X-1', ...what })

test('parts are told as they lie on the bench', () => {
  expect(partMarking(part({ kind: 'resistor', resistanceOhm: 47_000, tolerance: 0.01 }))).toMatchObject({
    words: 'bands yellow, violet, black, red, brown',
    polarity: null,
  })
  // 01-O05: 473J is 47 nF at 5 %.
  const film = part({ kind: 'capacitor', capacitanceF: 47e-9, tolerance: 0.05, body: 'film-box' })
  expect(partMarking(film)).toMatchObject({ code: '473J', words: 'marked 473J', bands: [] })
  const small = part({ kind: 'capacitor', capacitanceF: 5.6e-12, tolerance: 0.25 / 5.6, body: 'disc' })
  expect(partMarking(small).code).toBe('5R6C')
  const electrolytic = part({
    kind: 'capacitor',
    capacitanceF: 1e-4,
    value: '100 uF',
    ratedVoltageV: 16,
    polarised: true,
  })
  expect(partMarking(electrolytic)).toMatchObject({
    words: 'printed 100 uF, 16 V',
    polarity: expect.stringMatching(/minus/),
  })
  expect(partMarking(part({ kind: 'diode', polarised: true })).polarity).toMatch(/ring/)
  expect(partMarking(part({ kind: 'op-amp' })).polarity).toMatch(/pin 1/)
  expect(partMarking(part({ kind: 'resistor', resistanceOhm: 10_000, tolerance: 0.01, body: 'chip' })).code).toBe(
    '1002',
  )
  expect(partMarking(part({ kind: 'resistor', resistanceOhm: 10_000, tolerance: 0.05, body: 'chip' })).code).toBe('103')
  const chip = part({ kind: 'capacitor', capacitanceF: 1e-11, value: '10 pF', body: 'chip' })
  expect(partMarking(chip)).toMatchObject({ code: null, words: expect.stringMatching(/nothing is printed/) })
})
