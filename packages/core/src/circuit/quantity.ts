import { create, type Unit, unitDependencies } from 'mathjs'
import { BoardwrightError } from '../model/error.ts'
import { type Dimension, dimensions } from './dimension.ts'
import { parseLetterCode } from './letter-code.ts'

// Only the unit part of mathjs is created: the rest of the library costs start-up time and is never used here.
const math = create({ unitDependencies })

const ohmWords = /\s*(?:\u03a9|\u2126|ohms?)\s*$/i
const plainNumber = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?$/i
const numberAndPrefix = /^([+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?)\s*([fpnumkKMGT])$/

/**
 * Reads a value as a maker writes it and gives it in the SI unit of its dimension.
 *
 * @param text a number with unit ("4.7 nF", "47 kohm", "0.25 mA"), a letter code of IEC 60062 ("4k7", "4n7", "R47"),
 *   a number with a prefix alone ("47k"), or a plain number in the SI unit
 * @param dimension what is measured: decides the SI unit and which units are accepted
 * @returns the value in ohm, farad, henry, volt, ampere, hertz, second or watt
 * @throws BoardwrightError `bad-quantity` when the text is not a value, or is a value of another dimension
 */
export const parseQuantity = (text: string | number, dimension: Dimension): number => {
  if (typeof text === 'number') {
    if (Number.isFinite(text)) return text
    throw refuse(String(text), dimension)
  }
  const written = text.trim().replace(/[\u00b5\u03bc]/g, 'u')
  if (written.includes(','))
    throw refuse(text, dimension, 'The decimal mark is a point and thousands are not grouped: write "4.7 nF".')
  if (plainNumber.test(written)) return Number(written)
  const code = parseLetterCode(written, dimension)
  if (code !== undefined) return code
  const short = numberAndPrefix.exec(written)
  // "4 m" and "4 T" would be metre and tesla to the unit library; with a bare prefix the maker means the part's own unit.
  if (short) return fromUnit(`${short[1]} ${short[2] === 'K' ? 'k' : short[2]}${dimensions[dimension].unit}`, dimension)
  return fromUnit(written.replace(ohmWords, 'ohm'), dimension)
}

const fromUnit = (text: string, dimension: Dimension): number => {
  let unit: Unit
  try {
    unit = math.unit(text)
  } catch (cause) {
    throw refuse(text, dimension, undefined, cause)
  }
  // A unit without a number ("nF") has no value.
  if (!unit.equalBase(math.unit(dimensions[dimension].unit)) || !/\d/.test(text)) throw refuse(text, dimension)
  // The library multiplies 4.7 by 1e-9, which is one unit in the last place off; 15 digits bring the written value back.
  return Number(unit.toNumber(dimensions[dimension].unit).toPrecision(15))
}

const refuse = (text: string, dimension: Dimension, remedy?: string, cause?: unknown) => {
  const { word, example } = dimensions[dimension]
  return new BoardwrightError('bad-quantity', `"${text}" is not ${word}.`, {
    remedy: remedy ?? `Write ${word} with its unit, such as ${example}.`,
    cause,
  })
}

const prefixes = new Map([
  [-15, 'f'],
  [-12, 'p'],
  [-9, 'n'],
  [-6, 'µ'],
  [-3, 'm'],
  [0, ''],
  [3, 'k'],
  [6, 'M'],
  [9, 'G'],
  [12, 'T'],
])

/**
 * Writes a value with the prefix that leaves one to three digits before the point: "4.7 nF", "47 kΩ", "250 µA".
 *
 * @param value in the SI unit of the dimension
 * @param options `digits`: significant digits at most (3); trailing zeros are left out
 */
export const formatQuantity = (value: number, dimension: Dimension, options: { digits?: number } = {}): string => {
  const { symbol } = dimensions[dimension]
  if (value === 0 || !Number.isFinite(value)) return `${value === 0 ? 0 : value} ${symbol}`
  // Rounding comes first: 999.96 kΩ at three digits is 1 MΩ, not 1000 kΩ.
  const rounded = Number(value.toPrecision(options.digits ?? 3))
  const decade = Number(Math.abs(rounded).toExponential().split('e')[1])
  const exponent = Math.min(12, Math.max(-15, Math.floor(decade / 3) * 3))
  const scaled = Number((rounded / 10 ** exponent).toPrecision(15))
  return `${scaled} ${prefixes.get(exponent)}${symbol}`
}
