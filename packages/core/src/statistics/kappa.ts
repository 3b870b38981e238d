import { BoardwrightError } from '../model/error.ts'
import { requireNotNegative } from './check-argument.ts'
import { type Interval, outsideProbability } from './interval.ts'
import { normalQuantile } from './normal.ts'

/** Agreement of two judges beyond chance. */
export interface Kappa extends Interval {
  observed: number
  expected: number
  kappa: number
  standardError: number
}

/**
 * Cohen's kappa of a square table of counts (rows: first judge, columns: second judge), with large-sample limits.
 * Sources: Cohen, Educ. Psychol. Meas. 20 (1960) 37-46; Fleiss, Cohen and Everitt, Psychol. Bull. 72 (1969) 323-327
 * (standard error). Throws `bad-argument` for a table that is not square or leaves kappa undefined.
 */
export function cohenKappa(options: { table: readonly (readonly number[])[]; confidence: number }): Kappa {
  const { table } = options
  const size = table.length
  if (size < 2 || table.some((row) => row.length !== size)) {
    throw new BoardwrightError('bad-argument', 'Agreement needs a square table with at least two kinds.')
  }
  for (const row of table) for (const count of row) requireNotNegative('A count', count)
  const n = table.flat().reduce((sum, count) => sum + count, 0)
  const p = table.map((row) => row.map((count) => count / n))
  const rows = p.map((row) => row.reduce((sum, x) => sum + x, 0))
  const columns = p.map((_, j) => p.reduce((sum, row) => sum + row[j]!, 0))
  const observed = p.reduce((sum, row, i) => sum + row[i]!, 0)
  const expected = rows.reduce((sum, row, i) => sum + row * columns[i]!, 0)
  if (!(n > 0 && expected < 1)) {
    throw new BoardwrightError('bad-argument', 'Agreement needs readings of more than one kind.')
  }
  const kappa = (observed - expected) / (1 - expected)
  let spread = -((kappa - expected * (1 - kappa)) ** 2)
  for (const [i, row] of p.entries()) {
    for (const [j, share] of row.entries()) {
      const chance = (columns[i]! + rows[j]!) * (1 - kappa)
      spread += share * (i === j ? 1 - chance : chance) ** 2
    }
  }
  const standardError = Math.sqrt(Math.max(0, spread) / n) / (1 - expected)
  const reach = standardError * normalQuantile({ probability: outsideProbability(options).upper, tail: 'upper' })
  return { observed, expected, kappa, standardError, lower: kappa - reach, upper: Math.min(1, kappa + reach) }
}
