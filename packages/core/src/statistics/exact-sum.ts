/** Sum of two doubles as a rounded sum and the exact rest. Source: Knuth, TAOCP vol. 2, 4.2.2, theorem B. */
export function twoSum(a: number, b: number): { sum: number; rest: number } {
  const sum = a + b
  const part = sum - a
  return { sum, rest: a - (sum - part) + (b - part) }
}

/**
 * Sum of many values with the rounding errors carried along, so that it is exact to about a double.
 * Source: Kahan and Babuska sum in Neumaier's form, ZAMM 54 (1974) 39-51.
 */
export function compensatedSum(values: ArrayLike<number>, map: (value: number, index: number) => number): number {
  let total = 0
  let carried = 0
  for (let i = 0; i < values.length; i++) {
    const { sum, rest } = twoSum(total, map(values[i]!, i))
    total = sum
    carried += rest
  }
  return total + carried
}
