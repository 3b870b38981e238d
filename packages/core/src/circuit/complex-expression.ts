import type { Scalar, ScalarProgram } from './scalar-program.ts'

/** A complex number in a program. A part that is known to be zero is left out, and so is the arithmetic with it. */
export type ComplexExpression = { re?: Scalar; im?: Scalar }

export const zero: ComplexExpression = {}
export const isZero = (a: ComplexExpression): boolean => a.re === undefined && a.im === undefined

const addPart = (p: ScalarProgram, a?: Scalar, b?: Scalar) => (a === undefined ? b : b === undefined ? a : p.add(a, b))
const subtractPart = (p: ScalarProgram, a?: Scalar, b?: Scalar) =>
  b === undefined ? a : a === undefined ? p.negate(b) : p.subtract(a, b)
const multiplyPart = (p: ScalarProgram, a?: Scalar, b?: Scalar) =>
  a === undefined || b === undefined ? undefined : p.multiply(a, b)

export const add = (p: ScalarProgram, a: ComplexExpression, b: ComplexExpression): ComplexExpression => ({
  re: addPart(p, a.re, b.re),
  im: addPart(p, a.im, b.im),
})

export const subtract = (p: ScalarProgram, a: ComplexExpression, b: ComplexExpression): ComplexExpression => ({
  re: subtractPart(p, a.re, b.re),
  im: subtractPart(p, a.im, b.im),
})

export const multiply = (p: ScalarProgram, a: ComplexExpression, b: ComplexExpression): ComplexExpression => ({
  re: subtractPart(p, multiplyPart(p, a.re, b.re), multiplyPart(p, a.im, b.im)),
  im: addPart(p, multiplyPart(p, a.re, b.im), multiplyPart(p, a.im, b.re)),
})

export const reciprocal = (p: ScalarProgram, a: ComplexExpression): ComplexExpression => {
  if (a.im === undefined) return { re: p.reciprocal(a.re as Scalar) }
  if (a.re === undefined) return { im: p.negate(p.reciprocal(a.im)) }
  // Admittances lie between 1e-15 and 1e9 S, so their squares neither overflow nor vanish.
  const d = p.reciprocal(p.add(p.multiply(a.re, a.re), p.multiply(a.im, a.im)))
  return { re: p.multiply(a.re, d), im: p.negate(p.multiply(a.im, d)) }
}

/** True when neither part changes with frequency. */
export const isFixed = (p: ScalarProgram, a: ComplexExpression): boolean =>
  [a.re, a.im].every((part) => part === undefined || !p.operations[part].varies)
