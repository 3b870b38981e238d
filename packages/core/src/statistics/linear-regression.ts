import { BoardwrightError } from '../model/error.ts'
import { requireValues } from './check-argument.ts'
import { compensatedSum } from './exact-sum.ts'
import { fProbability } from './f-distribution.ts'
import { leastSquares } from './least-squares.ts'
import { summarise } from './mean-and-deviation.ts'

/** A fitted linear model. */
export interface LinearFit {
  /** In the order of the predictors; the intercept, when there is one, comes first. */
  coefficients: number[]
  standardErrors: number[]
  residuals: Float64Array
  residualSumOfSquares: number
  residualStandardDeviation: number
  degreesOfFreedom: number
  /** Share of the variation explained: about the mean with an intercept, about zero without. */
  rSquared: number
  f: number
  fProbabilityBeyond: number
}

/**
 * Linear regression by least squares (see leastSquares), with the usual figures.
 * Source: NIST/SEMATECH e-Handbook 4.4.3.1; Draper and Smith, "Applied Regression Analysis".
 * @param options.predictors one list per predictor, each as long as the response
 * @param options.intercept whether a constant is fitted too
 * Throws `bad-argument` for too few values or predictors that depend on each other.
 */
export function fitLinear(options: {
  response: ArrayLike<number>
  predictors: readonly ArrayLike<number>[]
  intercept: boolean
}): LinearFit {
  const response = Float64Array.from(options.response)
  const columns = designColumns({ ...options, rows: response.length })
  const degreesOfFreedom = response.length - columns.length
  if (columns.length === 0 || degreesOfFreedom < 1) {
    throw new BoardwrightError('bad-argument', 'A fit needs a predictor and more values than coefficients.')
  }
  const { coefficients, residuals, variances } = leastSquares({ response, columns })
  const residualSumOfSquares = compensatedSum(residuals, (r) => r * r)
  const residualStandardDeviation = Math.sqrt(residualSumOfSquares / degreesOfFreedom)
  return {
    coefficients: Array.from(coefficients),
    standardErrors: Array.from(variances, (v) => Math.sqrt(v) * residualStandardDeviation),
    residuals,
    residualSumOfSquares,
    residualStandardDeviation,
    degreesOfFreedom,
    ...explained({ response, residualSumOfSquares, degreesOfFreedom, intercept: options.intercept }),
  }
}

function designColumns(options: {
  predictors: readonly ArrayLike<number>[]
  intercept: boolean
  rows: number
}): Float64Array[] {
  const columns = options.predictors.map((predictor, j) => {
    requireValues(`Predictor ${j + 1}`, predictor, 1)
    if (predictor.length !== options.rows) {
      throw new BoardwrightError('bad-argument', `Predictor ${j + 1} must have as many values as the response.`)
    }
    return Float64Array.from(predictor)
  })
  return options.intercept ? [new Float64Array(options.rows).fill(1), ...columns] : columns
}

function explained(options: {
  response: Float64Array
  residualSumOfSquares: number
  degreesOfFreedom: number
  intercept: boolean
}): { rSquared: number; f: number; fProbabilityBeyond: number } {
  const { response, residualSumOfSquares, degreesOfFreedom, intercept } = options
  const total = intercept ? summarise(response).sumOfSquares : compensatedSum(response, (y) => y * y)
  const numerator = response.length - degreesOfFreedom - (intercept ? 1 : 0)
  const f = numerator > 0 ? (total - residualSumOfSquares) / numerator / (residualSumOfSquares / degreesOfFreedom) : 0
  const fProbabilityBeyond =
    numerator > 0 && f >= 0
      ? fProbability({ f, degreesOfFreedom: { numerator, denominator: degreesOfFreedom }, tail: 'upper' })
      : 1
  return { rSquared: total === 0 ? 0 : 1 - residualSumOfSquares / total, f, fProbabilityBeyond }
}
