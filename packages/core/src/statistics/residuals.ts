import { twoSum } from './exact-sum.ts'

/** 2^27 + 1: splits a double into two halves whose products are exact. */
const splitter = 134217729

/** Product of two doubles as a rounded product and the exact rest. Source: Dekker, Numer. Math. 18 (1971) 224-242. */
function twoProduct(a: number, b: number): { product: number; rest: number } {
  const product = a * b
  const aBig = splitter * a - (splitter * a - a)
  const bBig = splitter * b - (splitter * b - b)
  const aSmall = a - aBig
  const bSmall = b - bBig
  return { product, rest: aSmall * bSmall - (product - aBig * bBig - aSmall * bBig - aBig * bSmall) }
}

/**
 * Response minus fitted value, each computed as if in twice the precision: what a refinement of a badly conditioned fit
 * needs. Source: Ogita, Rump and Oishi, "Accurate sum and dot product", SIAM J. Sci. Comput. 26 (2005), Dot2.
 */
export function exactResiduals(options: {
  response: Float64Array
  columns: readonly Float64Array[]
  coefficients: Float64Array
}): Float64Array {
  const { response, columns, coefficients } = options
  return response.map((y, i) => {
    let total = y
    let carried = 0
    for (const [j, column] of columns.entries()) {
      const { product, rest } = twoProduct(-coefficients[j]!, column[i]!)
      const added = twoSum(total, product)
      total = added.sum
      carried += added.rest + rest
    }
    return total + carried
  })
}
