import { add, type ComplexExpression, imaginary, multiply, real, reciprocal } from './complex-expression.ts'
import type { Term } from './equations.ts'
import type { ScalarProgram } from './scalar-program.ts'

export type ComplexNumber = { re: number; im: number }

/** A term as an expression of a program. */
export const termExpression = (p: ScalarProgram, { form, slots }: Term): ComplexExpression => {
  const input = (i: number): ComplexExpression => real(p.input(slots[i]))
  const timesS = (a: ComplexExpression): ComplexExpression => multiply(p, a, imaginary(p.omega()))
  if (form === 'conductance') return input(0)
  if (form === 'capacitance') return timesS(input(0))
  if (form === 'one') return real(p.constant(1))
  if (form === 'series-rl') return reciprocal(p, add(p, input(1), timesS(input(0))))
  if (form === 'series-rc') {
    const sc = timesS(input(0))
    return multiply(p, sc, reciprocal(p, add(p, real(p.constant(1)), multiply(p, sc, input(1)))))
  }
  const first = form === 'transconductance' ? 1 : 0
  const onePole = add(p, input(first), timesS(input(first + 1)))
  const inverseGain =
    slots[first + 2] < 0 ? onePole : multiply(p, onePole, add(p, real(p.constant(1)), timesS(input(first + 2))))
  return form === 'inverse-gain' ? inverseGain : multiply(p, input(0), reciprocal(p, inverseGain))
}

/** The same term as a number, at one frequency. */
export const termValue = ({ form, slots }: Term, primitives: Float64Array, omega: number): ComplexNumber => {
  const v = slots.map((s) => (s < 0 ? 0 : primitives[s]))
  if (form === 'conductance') return { re: v[0], im: 0 }
  if (form === 'capacitance') return { re: 0, im: omega * v[0] }
  if (form === 'one') return { re: 1, im: 0 }
  if (form === 'series-rl') return inverseOf({ re: v[1], im: omega * v[0] })
  if (form === 'series-rc') {
    const x = omega * v[0]
    return product({ re: 0, im: x }, inverseOf({ re: 1, im: x * v[1] }))
  }
  const [inverseGain, tau, tau2] = form === 'transconductance' ? v.slice(1) : v
  const whole = product({ re: inverseGain, im: omega * tau }, { re: 1, im: omega * tau2 })
  return form === 'inverse-gain' ? whole : product({ re: v[0], im: 0 }, inverseOf(whole))
}

export const product = (a: ComplexNumber, b: ComplexNumber): ComplexNumber => ({
  re: a.re * b.re - a.im * b.im,
  im: a.re * b.im + a.im * b.re,
})
export const inverseOf = ({ re, im }: ComplexNumber): ComplexNumber => {
  const d = re * re + im * im
  return { re: re / d, im: -im / d }
}
