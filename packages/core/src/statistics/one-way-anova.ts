import { BoardwrightError } from '../model/error.ts'
import { requireValues } from './check-argument.ts'
import { compensatedSum } from './exact-sum.ts'
import { fProbability } from './f-distribution.ts'
import { splitMean } from './mean-and-deviation.ts'

/** One line of an analysis of variance. */
export interface VarianceLine {
  degreesOfFreedom: number
  sumOfSquares: number
  meanSquare: number
}

export interface OneWayAnova {
  between: VarianceLine
  within: VarianceLine
  f: number
  /** Probability of such an F or a larger one when the groups do not differ. */
  probabilityBeyond: number
  rSquared: number
  residualStandardDeviation: number
}

const line = (sumOfSquares: number, degreesOfFreedom: number): VarianceLine => ({
  degreesOfFreedom,
  sumOfSquares,
  meanSquare: sumOfSquares / degreesOfFreedom,
})

/**
 * One-way analysis of variance of groups that may differ in size.
 * The first value is taken off all before anything is summed: values with many common leading digits keep the others.
 * Source: NIST/SEMATECH e-Handbook 7.4.3. Throws `bad-argument` for fewer than two groups or no repeats.
 */
export function oneWayAnova(groups: readonly ArrayLike<number>[]): OneWayAnova {
  for (const [i, group] of groups.entries()) requireValues(`Group ${i + 1}`, group)
  const count = groups.reduce((sum, group) => sum + group.length, 0)
  if (groups.length < 2 || count <= groups.length) {
    throw new BoardwrightError('bad-argument', 'An analysis of variance needs two groups and a repeat within one.')
  }
  const origin = groups[0]![0]!
  const shifted = groups.map((group) => Float64Array.from(group, (x) => x - origin))
  const grand = splitMean(shifted.flatMap((group) => Array.from(group)))
  const means = shifted.map((group) => splitMean(group))
  const between = line(
    compensatedSum(
      means.map((m, i) => shifted[i]!.length * (m.mean - grand.mean + (m.rest - grand.rest)) ** 2),
      (x) => x,
    ),
    groups.length - 1,
  )
  const within = line(
    compensatedSum(
      shifted.map((group, i) => compensatedSum(group, (x) => (x - means[i]!.mean - means[i]!.rest) ** 2)),
      (x) => x,
    ),
    count - groups.length,
  )
  const f = between.meanSquare / within.meanSquare
  const degreesOfFreedom = { numerator: between.degreesOfFreedom, denominator: within.degreesOfFreedom }
  return {
    between,
    within,
    f,
    probabilityBeyond: Number.isNaN(f) ? 1 : fProbability({ f, degreesOfFreedom, tail: 'upper' }),
    rSquared: between.sumOfSquares / (between.sumOfSquares + within.sumOfSquares),
    residualStandardDeviation: Math.sqrt(within.meanSquare),
  }
}
