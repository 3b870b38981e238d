import { BoardwrightError } from '../model/error.ts'
import { requireValues } from './check-argument.ts'
import { compensatedSum } from './exact-sum.ts'
import { fProbability } from './f-distribution.ts'
import { backSubstitute, factorise, inverseDiagonal, rotate } from './householder.ts'
import { summarise } from './mean-and-deviation.ts'
import { exactResiduals } from './residuals.ts'

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
 * Least squares by orthogonal factorisation with scaled columns, refined with residuals in doubled precision.
 * Source: Golub and Van Loan, "Matrix Computations", 5.3; refinement after Bjorck, "Numerical Methods for Least Squares
 * Problems", 2.9.2.
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
  const { scaled, scales } = scaleColumns(columns)
  const factorisation = factorise(scaled)
  const solution = new Float64Array(columns.length)
  let residuals: Float64Array = response
  for (let pass = 0; pass < 4; pass++) {
    const step = backSubstitute(factorisation, rotate(factorisation, residuals))
    for (let j = 0; j < step.length; j++) solution[j]! += step[j]!
    residuals = exactResiduals({ response, columns: scaled, coefficients: solution })
  }
  const variances = inverseDiagonal(factorisation)
  const residualSumOfSquares = compensatedSum(residuals, (r) => r * r)
  const residualStandardDeviation = Math.sqrt(residualSumOfSquares / degreesOfFreedom)
  return {
    coefficients: Array.from(solution, (c, j) => c / scales[j]!),
    standardErrors: Array.from(variances, (v, j) => (Math.sqrt(v) * residualStandardDeviation) / scales[j]!),
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

/** Columns divided by a power of two near their length, which rounds nothing. */
function scaleColumns(columns: readonly Float64Array[]): { scaled: Float64Array[]; scales: number[] } {
  const scales = columns.map((column) => 2 ** Math.round(Math.log2(Math.hypot(...column) || 1)))
  return { scales, scaled: columns.map((column, j) => column.map((x) => x / scales[j]!)) }
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
