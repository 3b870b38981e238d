import { chiSquareQuantile } from './chi-square.ts'
import { fQuantile } from './f-distribution.ts'
import { type Interval, outsideProbability } from './interval.ts'

/** One mean square in a weighted sum. */
export interface VarianceTerm {
  /** Name of the mean square: terms of one name share it and are not independent. */
  source: string
  coefficient: number
  meanSquare: number
  degreesOfFreedom: number
}

/** Value of the weighted sum; may be negative when some coefficients are. */
export const combinedVariance = (terms: readonly VarianceTerm[]): number =>
  terms.reduce((sum, term) => sum + term.coefficient * term.meanSquare, 0)

/**
 * Adds the coefficients of terms that use the same mean square: what is left is independent. A coefficient that is
 * nothing but rounding becomes zero.
 */
export function gatherTerms(terms: readonly VarianceTerm[]): VarianceTerm[] {
  const gathered = new Map<string, VarianceTerm>()
  for (const term of terms) {
    const coefficient = (gathered.get(term.source)?.coefficient ?? 0) + term.coefficient
    gathered.set(term.source, { ...term, coefficient: Math.abs(coefficient) < 1e-14 ? 0 : coefficient })
  }
  return [...gathered.values()]
}

/**
 * Confidence limits of a weighted sum of independent mean squares by the modified large-sample method; exact for one
 * term. Limits may be negative; the caller cuts them at zero for a variance.
 * Sources: Graybill and Wang, J. Am. Stat. Assoc. 75 (1980) 869-873 (sums); Ting, Burdick, Graybill, Jeyaratnam and Lu,
 * J. Stat. Comput. Simul. 35 (1990) 135-143 (differences; the small terms between coefficients of one sign left out).
 */
export function varianceCombinationInterval(options: { terms: readonly VarianceTerm[]; confidence: number }): Interval {
  const terms = gatherTerms(options.terms).filter((term) => term.coefficient !== 0 && term.meanSquare !== 0)
  const estimate = combinedVariance(terms)
  const outside = outsideProbability(options)
  return {
    lower: estimate - Math.sqrt(Math.max(0, shortfall(terms, outside.lower))),
    upper: estimate + Math.sqrt(Math.max(0, excess(terms, outside.upper))),
  }
}

const meanSquareQuantile = (degreesOfFreedom: number, probability: number, tail: 'lower' | 'upper'): number =>
  chiSquareQuantile({ probability, degreesOfFreedom, tail }) / degreesOfFreedom

/** 1 - 1 / (upper quantile): how far a mean square may lie above its expectation, relative. */
const downFactor = (term: VarianceTerm, outside: number): number =>
  1 - 1 / meanSquareQuantile(term.degreesOfFreedom, outside, 'upper')

/** 1 / (lower quantile) - 1: how far a mean square may lie below its expectation, relative. */
const upFactor = (term: VarianceTerm, outside: number): number =>
  1 / meanSquareQuantile(term.degreesOfFreedom, outside, 'lower') - 1

const weightOf = (term: VarianceTerm): number => Math.abs(term.coefficient) * term.meanSquare

const split = (terms: readonly VarianceTerm[]): { plus: VarianceTerm[]; minus: VarianceTerm[] } => ({
  plus: terms.filter((term) => term.coefficient > 0),
  minus: terms.filter((term) => term.coefficient < 0),
})

const ratioQuantile = (p: VarianceTerm, m: VarianceTerm, probability: number, tail: 'lower' | 'upper'): number =>
  fQuantile({
    probability,
    degreesOfFreedom: { numerator: p.degreesOfFreedom, denominator: m.degreesOfFreedom },
    tail,
  })

function shortfall(terms: readonly VarianceTerm[], outside: number): number {
  const { plus, minus } = split(terms)
  let sum = 0
  for (const p of plus) sum += (downFactor(p, outside) * weightOf(p)) ** 2
  for (const m of minus) sum += (upFactor(m, outside) * weightOf(m)) ** 2
  for (const p of plus) {
    for (const m of minus) {
      const f = ratioQuantile(p, m, outside, 'upper')
      const g = downFactor(p, outside)
      const h = upFactor(m, outside)
      sum += (((f - 1) ** 2 - (g * f) ** 2 - h ** 2) / f) * weightOf(p) * weightOf(m)
    }
  }
  return sum
}

function excess(terms: readonly VarianceTerm[], outside: number): number {
  const { plus, minus } = split(terms)
  let sum = 0
  for (const p of plus) sum += (upFactor(p, outside) * weightOf(p)) ** 2
  for (const m of minus) sum += (downFactor(m, outside) * weightOf(m)) ** 2
  for (const p of plus) {
    for (const m of minus) {
      const f = ratioQuantile(p, m, outside, 'lower')
      const h = upFactor(p, outside)
      const g = downFactor(m, outside)
      sum += (((1 - f) ** 2 - (h * f) ** 2 - g ** 2) / f) * weightOf(p) * weightOf(m)
    }
  }
  return sum
}
