import type { Term } from './equations.ts'
import { type ComplexNumber, inverseOf, product, termValue } from './term.ts'

/** Derivative of a term to one number of the table of primitives. */
export type TermSlope = { slot: number; re: number; im: number }

/** Derivatives of a term to each number it is made of, at one frequency. */
export const termSlopes = (term: Term, primitives: Float64Array, omega: number): TermSlope[] => {
  const { form, slots } = term
  const at = (slot: number, { re, im }: ComplexNumber): TermSlope => ({ slot, re, im })
  if (form === 'one') return []
  if (form === 'conductance') return [at(slots[0], { re: 1, im: 0 })]
  if (form === 'capacitance') return [at(slots[0], { re: 0, im: omega })]
  const y = termValue(term, primitives, omega)
  if (form === 'series-rl') {
    const minusSquare = negative(product(y, y))
    return [at(slots[0], product(minusSquare, { re: 0, im: omega })), at(slots[1], minusSquare)]
  }
  if (form === 'series-rc') {
    // y = 1/(r + 1/(sc)): dy/dr = −y², dy/dc = y²/(s c²).
    const square = product(y, y)
    const c = primitives[slots[0]]
    return [at(slots[0], product(square, { re: 0, im: -1 / (omega * c * c) })), at(slots[1], negative(square))]
  }
  return amplifierSlopes(term, y, primitives, omega)
}

/** y = g / D or D, with D = (1/A0 + sτ)(1 + sτ2). */
const amplifierSlopes = (
  { form, slots }: Term,
  y: ComplexNumber,
  primitives: Float64Array,
  omega: number,
): TermSlope[] => {
  const first = form === 'transconductance' ? 1 : 0
  const [gain, tau, tau2] = slots.slice(first)
  const pole: ComplexNumber = { re: primitives[gain], im: omega * primitives[tau] }
  const second: ComplexNumber = { re: 1, im: tau2 < 0 ? 0 : omega * primitives[tau2] }
  // dy = outer · dD, with outer = 1 for D itself and −g/D² for g/D.
  const outer: ComplexNumber = first === 0 ? { re: 1, im: 0 } : negative(product(y, inverseOf(product(pole, second))))
  const slopes: TermSlope[] = [
    { slot: gain, ...product(outer, second) },
    { slot: tau, ...product(outer, product(second, { re: 0, im: omega })) },
  ]
  if (tau2 >= 0) slopes.push({ slot: tau2, ...product(outer, product(pole, { re: 0, im: omega })) })
  if (first === 1) slopes.push({ slot: slots[0], re: y.re / primitives[slots[0]], im: y.im / primitives[slots[0]] })
  return slopes
}

const negative = ({ re, im }: ComplexNumber): ComplexNumber => ({ re: -re, im: -im })
