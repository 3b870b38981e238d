import { BoardwrightError } from '../model/error.ts'
import { requireCount } from './check-argument.ts'

/** Code letters of sample sizes, smallest first (I and O are not used). */
export const codeLetters = 'ABCDEFGHJKLMNPQRS'

/** How thoroughly to inspect: three general levels (II is the usual one) and four special levels with small samples. */
export type InspectionLevel = 'I' | 'II' | 'III' | 'S-1' | 'S-2' | 'S-3' | 'S-4'

const largestLots = [
  8,
  15,
  25,
  50,
  90,
  150,
  280,
  500,
  1200,
  3200,
  10000,
  35000,
  150000,
  500000,
  Number.POSITIVE_INFINITY,
]

/**
 * One letter per range of lot sizes. Source: MIL-STD-105E (1989), table I; level II was compared with a printed table, the
 * other levels are from memory.
 */
const letterRows: Record<InspectionLevel, string> = {
  'S-1': 'AAAABBBBCCCCDDD',
  'S-2': 'AAABBBCCCDDDEEE',
  'S-3': 'AABBCCDDEEFFGGH',
  'S-4': 'AABCCDEEFGGHJJK',
  I: 'AABCCDEFGHJKLMN',
  II: 'ABCDEFGHJKLMNPQ',
  III: 'BCDEFGHJKLMNPQR',
}

/**
 * Code letter of the sample size for a lot.
 * Source: MIL-STD-105E (1989), table I: a public document whose attribute tables ISO 2859-1 carries on.
 * @param options.lotSize 2 or more; throws `bad-argument`
 */
export function samplingCodeLetter(options: { lotSize: number; level: InspectionLevel }): string {
  requireCount('The lot size', options.lotSize, 2)
  const row = letterRows[options.level]
  if (!row) throw new BoardwrightError('bad-argument', `There is no inspection level ${String(options.level)}.`)
  return row[largestLots.findIndex((largest) => options.lotSize <= largest)]!
}
