import { z } from 'zod'
import { checkCharacter } from './check-character.ts'

/**
 * How a product's serial numbers look: letters, digits and hyphens that stay, one row of `#` for the running number, and at
 * most one `?` at the end for the check character (ISO/IEC 7064 MOD 37,36), such as "PLV-####-?".
 */
export const SerialPattern = z
  .string()
  .trim()
  .toUpperCase()
  .max(32)
  .regex(
    /^[A-Z0-9-]*#{2,9}(?:[A-Z0-9-]*\??)$/,
    'write letters, digits and hyphens with one row of # for the number and, if wanted, a ? at the end for the check character, such as "PLV-####-?"',
  )
  .regex(/^[A-Z0-9#].*[A-Z0-9#?]$/, 'begin and end with a letter, a digit, # or ?')
export type SerialPattern = z.infer<typeof SerialPattern>

/** The pattern of a product that names none: the first letters of its id, four digits, a check character. */
export const serialPatternOf = (product: { id: string; serialPattern?: SerialPattern }): SerialPattern =>
  product.serialPattern ??
  `${product.id
    .replace(/[^a-z]/g, '')
    .slice(0, 3)
    .toUpperCase()}-####-?`

const partsOf = (pattern: SerialPattern) => {
  const [, before, digits, after, check] = /^([^#]*)(#+)([^?]*)(\??)$/.exec(pattern)!
  return { before: before!, digits: digits!.length, after: after!, hasCheck: check === '?' }
}

/** The largest number that a pattern has room for. */
export const lastSerialNumber = (pattern: SerialPattern): number => 10 ** partsOf(pattern).digits - 1

/** The serial number with this running number; it must not be above `lastSerialNumber`. */
export function makeSerial(pattern: SerialPattern, number: number): string {
  const { before, digits, after, hasCheck } = partsOf(pattern)
  const body = `${before}${String(number).padStart(digits, '0')}${after}`
  return hasCheck ? body + checkCharacter(body) : body
}

/**
 * What a serial number is to a pattern: `made` by it, `mistyped` (its form, but the check character is not the right one),
 * or `other`. The running number is told for both of its form, and also for one that lacks the check character.
 */
export function readSerialByPattern(
  pattern: SerialPattern,
  serial: string,
): { kind: 'made' | 'mistyped' | 'other'; number?: number } {
  const { before, digits, after, hasCheck } = partsOf(pattern)
  const bare = after.replace(/-$/, '')
  const form = new RegExp(`^${before}([0-9]{${digits}})(?:${after}${hasCheck ? '([A-Z0-9])' : ''}|(${bare}))$`)
  const match = form.exec(serial)
  if (!match) return { kind: 'other' }
  const number = Number(match[1])
  const isWhole = !hasCheck || match[2] !== undefined
  if (!isWhole) return { kind: 'other', number }
  return { kind: makeSerial(pattern, number) === serial ? 'made' : 'mistyped', number }
}
