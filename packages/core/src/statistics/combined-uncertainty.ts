import { BoardwrightError } from '../model/error.ts'
import { requireFinite, requireNotNegative, requirePositive } from './check-argument.ts'
import { outsideProbability } from './interval.ts'
import { normalQuantile } from './normal.ts'
import { studentTQuantile } from './student-t.ts'

/** One source of uncertainty. */
export interface UncertaintyComponent {
  name: string
  /** In the unit of the source. */
  standardUncertainty: number
  /** Change of the result per change of the source; 1 when left out. */
  sensitivity?: number
  /** Infinite when left out. */
  degreesOfFreedom?: number
}

/** Correlation coefficient of two sources, named. */
export interface Correlation {
  between: string
  and: string
  coefficient: number
}

/** Combined uncertainty, in the unit of the result. */
export interface CombinedUncertainty {
  standardUncertainty: number
  /** Infinity when all sources are known without limit. */
  effectiveDegreesOfFreedom: number
  coverageFactor: number
  expandedUncertainty: number
  /** Share of each source in the combined variance, without correlations. */
  contributions: { name: string; uncertainty: number; share: number }[]
}

/**
 * Combines standard uncertainties.
 * Source: JCGM 100:2008, 5.1.2 and 5.2.2 (law of propagation, with correlations), G.4.1 (Welch-Satterthwaite degrees of
 * freedom, correlated sources treated as independent there), G.3 (coverage factor from Student's t).
 * @param options.coverage either a fixed factor (commonly 2) or a confidence for which the factor is computed
 * Throws `bad-argument`.
 */
export function combineUncertainty(options: {
  components: readonly UncertaintyComponent[]
  correlations?: readonly Correlation[]
  coverage: { factor: number } | { confidence: number }
}): CombinedUncertainty {
  const { components, correlations = [], coverage } = options
  for (const component of components) {
    requireNotNegative(`The uncertainty of ${component.name}`, component.standardUncertainty)
    requireFinite(`The sensitivity of ${component.name}`, component.sensitivity ?? 1)
  }
  const parts = components.map((c) => ({
    name: c.name,
    signed: (c.sensitivity ?? 1) * c.standardUncertainty,
    degreesOfFreedom: c.degreesOfFreedom ?? Number.POSITIVE_INFINITY,
  }))
  const alone = parts.reduce((sum, part) => sum + part.signed ** 2, 0)
  const variance = alone + correlations.reduce((sum, correlation) => sum + crossTerm(parts, correlation), 0)
  const standardUncertainty = Math.sqrt(Math.max(0, variance))
  const inverse = parts.reduce((sum, part) => sum + part.signed ** 4 / part.degreesOfFreedom, 0)
  const effectiveDegreesOfFreedom = inverse === 0 ? Number.POSITIVE_INFINITY : standardUncertainty ** 4 / inverse
  const coverageFactor = factorOf(coverage, effectiveDegreesOfFreedom)
  return {
    standardUncertainty,
    effectiveDegreesOfFreedom,
    coverageFactor,
    expandedUncertainty: coverageFactor * standardUncertainty,
    contributions: parts.map(({ name, signed }) => ({
      name,
      uncertainty: Math.abs(signed),
      share: alone === 0 ? 0 : signed ** 2 / alone,
    })),
  }
}

function crossTerm(parts: readonly { name: string; signed: number }[], correlation: Correlation): number {
  const first = parts.find((part) => part.name === correlation.between)
  const second = parts.find((part) => part.name === correlation.and)
  if (!first || !second || first === second || !(Math.abs(correlation.coefficient) <= 1)) {
    throw new BoardwrightError(
      'bad-argument',
      `The correlation of ${correlation.between} and ${correlation.and} needs two sources and -1 to 1.`,
    )
  }
  return 2 * correlation.coefficient * first.signed * second.signed
}

function factorOf(coverage: { factor: number } | { confidence: number }, degreesOfFreedom: number): number {
  if ('factor' in coverage) {
    requirePositive('The coverage factor', coverage.factor)
    return coverage.factor
  }
  const probability = outsideProbability(coverage).upper
  if (!(degreesOfFreedom < 1e12)) return normalQuantile({ probability, tail: 'upper' })
  return studentTQuantile({ probability, degreesOfFreedom, tail: 'upper' })
}
