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
 * What is left of a start when products are taken off, as if in twice the precision: start - sum of a[i] b[i].
 * Source: Ogita, Rump and Oishi, "Accurate sum and dot product", SIAM J. Sci. Comput. 26 (2005) 1955-1988, Dot2.
 */
export function subtractProducts(start: readonly number[], products: Iterable<{ a: number; b: number }>): number {
  let total = 0
  let carried = 0
  const add = (value: number, lost: number): void => {
    const { sum, rest } = twoSum(total, value)
    total = sum
    carried += rest + lost
  }
  for (const value of start) add(value, 0)
  for (const { a, b } of products) {
    const { product, rest } = twoProduct(-a, b)
    add(product, rest)
  }
  return total + carried
}
