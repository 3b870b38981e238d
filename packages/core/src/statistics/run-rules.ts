import { BoardwrightError } from '../model/error.ts'
import { requireFinite, requirePositive, requireValues } from './check-argument.ts'

/** The rule sets; the number behind is the one their authors gave. */
export type RunRule = `western-electric-${1 | 2 | 3 | 4}` | `nelson-${1 | 2 | 3 | 4 | 5 | 6 | 7 | 8}`

/** A rule that was broken, and the point (from 0) that completed the pattern. */
export interface RunSignal {
  rule: RunRule
  index: number
}

/** Looks at the last points up to and including the one in question; the newest comes last. */
interface Pattern {
  length: number
  holds: (z: readonly number[]) => boolean
}

const oneSide = (length: number): Pattern => ({
  length,
  holds: (z) => z.every((v) => v > 0) || z.every((v) => v < 0),
})

/** So many of so many beyond a limit on one side; the newest point must be one of them, or the signal is old. */
const mostBeyond = (count: number, length: number, limit: number): Pattern => ({
  length,
  holds: (z) => [1, -1].some((sign) => z.at(-1)! * sign > limit && z.filter((v) => v * sign > limit).length >= count),
})

const steps = (z: readonly number[]): number[] => z.slice(1).map((v, i) => Math.sign(v - z[i]!))

const patterns: Record<RunRule, Pattern> = {
  'western-electric-1': mostBeyond(1, 1, 3),
  'western-electric-2': mostBeyond(2, 3, 2),
  'western-electric-3': mostBeyond(4, 5, 1),
  'western-electric-4': oneSide(8),
  'nelson-1': mostBeyond(1, 1, 3),
  'nelson-2': oneSide(9),
  'nelson-3': { length: 6, holds: (z) => Math.abs(steps(z).reduce((sum, s) => sum + s, 0)) === 5 },
  'nelson-4': { length: 14, holds: (z) => steps(z).every((s, i, all) => s !== 0 && (i === 0 || s === -all[i - 1]!)) },
  'nelson-5': mostBeyond(2, 3, 2),
  'nelson-6': mostBeyond(4, 5, 1),
  'nelson-7': { length: 15, holds: (z) => z.every((v) => Math.abs(v) < 1) },
  'nelson-8': {
    length: 8,
    holds: (z) => z.every((v) => Math.abs(v) > 1) && z.some((v) => v > 0) && z.some((v) => v < 0),
  },
}

/** All rules of a set. */
export const runRules = {
  westernElectric: ['western-electric-1', 'western-electric-2', 'western-electric-3', 'western-electric-4'],
  nelson: ['nelson-1', 'nelson-2', 'nelson-3', 'nelson-4', 'nelson-5', 'nelson-6', 'nelson-7', 'nelson-8'],
} as const satisfies Record<string, readonly RunRule[]>

/**
 * Every point that completes a pattern of a rule. A pattern may be completed again by the next point.
 * "Beyond" is strict: a point exactly on a zone's limit is not beyond it. A point with a window that is not yet full
 * is looked at with the points there are where the rule allows it (so many of so many).
 * Sources: Western Electric, "Statistical Quality Control Handbook", 1956; Nelson, J. Qual. Technol. 16 (1984) 237-239
 * (rule 8 needs points on both sides). Throws `bad-argument`.
 */
export function runSignals(options: {
  values: ArrayLike<number>
  centre: number
  standardDeviation: number
  rules: readonly RunRule[]
}): RunSignal[] {
  const { values, centre, standardDeviation, rules } = options
  requireValues('The values', values, 0)
  requireFinite('The centre', centre)
  requirePositive('The standard deviation', standardDeviation)
  const z = Array.from(values, (value) => (value - centre) / standardDeviation)
  const signals: RunSignal[] = []
  for (let index = 0; index < z.length; index++) {
    for (const rule of rules) {
      const pattern = patterns[rule]
      if (!pattern) throw new BoardwrightError('bad-argument', `There is no run rule ${String(rule)}.`)
      const few = index + 1 < pattern.length
      if (few && !partial.has(rule)) continue
      if (pattern.holds(z.slice(Math.max(0, index + 1 - pattern.length), index + 1))) signals.push({ rule, index })
    }
  }
  return signals
}

const partial: ReadonlySet<RunRule> = new Set([
  'western-electric-2',
  'western-electric-3',
  'nelson-5',
  'nelson-6',
] as const)
