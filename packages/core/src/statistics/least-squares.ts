import { subtractProducts } from './exact-product.ts'
import {
  backSubstitute,
  type Factorisation,
  factorise,
  forwardSubstitute,
  inverseDiagonal,
  rotate,
  rotateBack,
} from './householder.ts'

/** Solution of a least-squares problem. */
export interface LeastSquares {
  coefficients: Float64Array
  residuals: Float64Array
  /** Variance of each coefficient for a residual variance of 1. */
  variances: Float64Array
}

/** Rounds of refinement; each one gains the digits that the condition of the model leaves. */
const rounds = 5

/**
 * Least squares by Householder reflections of scaled columns, with the solution and the residuals refined together.
 * Source: Golub and Van Loan, "Matrix Computations", 5.3; refinement of the augmented system after Bjorck, BIT 7 (1967)
 * 257-278, with its right-hand sides in doubled precision.
 * @param options.columns the model by columns, each as long as the response. Throws `bad-argument` when they depend
 */
export function leastSquares(options: { response: Float64Array; columns: readonly Float64Array[] }): LeastSquares {
  const { response } = options
  const { scaled, scales } = scaleColumns(options.columns)
  const factorisation = factorise(scaled)
  const coefficients = new Float64Array(scaled.length)
  const residuals = new Float64Array(response.length)
  for (let round = 0; round < rounds; round++) {
    const f = response.map((y, i) =>
      subtractProducts(
        [y, -residuals[i]!],
        scaled.map((column, j) => ({ a: column[i]!, b: coefficients[j]! })),
      ),
    )
    const g = scaled.map((column) =>
      subtractProducts(
        [],
        Array.from(residuals, (r, i) => ({ a: column[i]!, b: r })),
      ),
    )
    const step = solveAugmented(factorisation, f, g)
    for (let j = 0; j < coefficients.length; j++) coefficients[j]! += step.coefficients[j]!
    for (let i = 0; i < residuals.length; i++) residuals[i]! += step.residuals[i]!
  }
  return {
    coefficients: coefficients.map((c, j) => c / scales[j]!),
    residuals,
    variances: inverseDiagonal(factorisation).map((v, j) => v / scales[j]! ** 2),
  }
}

/** Solves r + A x = f, transposed A r = g. */
function solveAugmented(
  factorisation: Factorisation,
  f: Float64Array,
  g: readonly number[],
): { coefficients: Float64Array; residuals: Float64Array } {
  const h = forwardSubstitute(factorisation, g)
  const turned = rotate(factorisation, f)
  const coefficients = backSubstitute(
    factorisation,
    h.map((value, j) => turned[j]! - value),
  )
  turned.set(h)
  return { coefficients, residuals: rotateBack(factorisation, turned) }
}

/** Columns divided by a power of two near their length, which rounds nothing. */
function scaleColumns(columns: readonly Float64Array[]): { scaled: Float64Array[]; scales: number[] } {
  const scales = columns.map((column) => 2 ** Math.round(Math.log2(Math.hypot(...column) || 1)))
  return { scales, scaled: columns.map((column, j) => column.map((x) => x / scales[j]!)) }
}
