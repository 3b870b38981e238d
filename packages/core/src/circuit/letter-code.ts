import type { Dimension } from './dimension.ts'

const resistance = { R: 0, K: 3, k: 3, M: 6, G: 9, T: 12 }
const capacitance = { p: -12, n: -9, u: -6, m: -3, F: 0 }
const inductance = { n: -9, u: -6, m: -3, H: 0 }
const voltage = { m: -3, V: 0 }

const exponents: Partial<Record<Dimension, Record<string, number>>> = { resistance, capacitance, inductance, voltage }
const suffixes: Partial<Record<Dimension, RegExp>> = {
  resistance: /(?:ohms?|\u03a9|\u2126)$/i,
  capacitance: /(?<=\d)F$/,
  inductance: /(?<=\d)H$/,
  voltage: /(?<=\d)V$/,
}
const code = /^(\d*)([A-Za-z])(\d*)$/

/**
 * Reads a letter code, in which a letter stands for both the decimal point and the multiplier: "4k7", "R47", "2u2", "100R".
 * A unit may follow ("4n7F").
 *
 * @returns the value in the SI unit, or undefined when the text is not such a code in this dimension
 *
 * Source: IEC 60062, letter and digit code (from general knowledge; the text of the 2016 edition was not seen).
 */
export const parseLetterCode = (text: string, dimension: Dimension): number | undefined => {
  const letters = exponents[dimension]
  if (!letters) return undefined
  // "100F" is itself a code; a unit is only taken off when a letter code is left.
  const suffix = suffixes[dimension]
  const bare = suffix ? text.replace(suffix, '').trim() : text
  const match = code.exec(text) ?? code.exec(bare)
  if (!match) return undefined
  const [, whole, letter, fraction] = match
  const exponent = letters[letter]
  if (exponent === undefined || (whole === '' && fraction === '')) return undefined
  // Read as one decimal literal, so that the result is the double nearest to what is written.
  return Number(`${whole || '0'}.${fraction || '0'}e${exponent}`)
}
