import { requirePositive } from './check-argument.ts'

/** Half of ln(2 pi). */
const halfLogTwoPi = 0.5 * Math.log(2 * Math.PI)

/** From here on eight terms of Stirling's series are exact to a double. */
const seriesStart = 15

const stirlingSeries = (x: number): number => {
  const coefficients = [1 / 12, -1 / 360, 1 / 1260, -1 / 1680, 1 / 1188, -691 / 360360, 1 / 156, -3617 / 122400]
  let sum = 0
  for (let k = coefficients.length - 1; k >= 0; k--) sum = sum / (x * x) + coefficients[k]!
  return sum / x
}

/**
 * Natural logarithm of the gamma function.
 * Absolute error below 1e-13 up to x = 15 (relative beyond), so that the zeros at 1 and 2 are good to 1e-13 absolute.
 * Source: DLMF 5.11.1 (Stirling's series), reached from small arguments by the recurrence 5.5.1.
 * @param x above 0; throws `bad-argument`
 */
export function logGamma(x: number): number {
  requirePositive('The argument of the gamma function', x)
  if (x === 1 || x === 2) return 0
  let product = 1
  let shifted = x
  while (shifted < seriesStart) product *= shifted++
  return (shifted - 0.5) * Math.log(shifted) - shifted + halfLogTwoPi + stirlingSeries(shifted) - Math.log(product)
}

/**
 * What Stirling's formula leaves out: ln Gamma(x + 1) - ((x + 1/2) ln x - x + ln(2 pi) / 2).
 * Kept apart because it is small: a probability made of it loses no digits to the large terms that cancel.
 * Source: C. Loader, "Fast and accurate computation of binomial probabilities", 2000.
 */
export function stirlingRemainder(x: number): number {
  if (x >= seriesStart) return stirlingSeries(x)
  return logGamma(x + 1) - (x + 0.5) * Math.log(x) + x - halfLogTwoPi
}
