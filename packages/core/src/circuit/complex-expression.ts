import type { Scalar, ScalarProgram } from './scalar-program.ts'

/** A number of a program or its negative: plus or minus (index + 1). So a change of sign costs no operation. */
export type SignedScalar = number

/** A complex number in a program. A part that is known to be zero is left out, and so is the arithmetic with it. */
export type ComplexExpression = { re?: SignedScalar; im?: SignedScalar }

export const zero: ComplexExpression = {}
export const isZero = (a: ComplexExpression): boolean => a.re === undefined && a.im === undefined
export const real = (scalar: Scalar): ComplexExpression => ({ re: scalar + 1 })
export const imaginary = (scalar: Scalar): ComplexExpression => ({ im: scalar + 1 })

const indexOf = (a: SignedScalar): Scalar => Math.abs(a) - 1
const withSign = (scalar: Scalar, negative: boolean): SignedScalar => (negative ? -(scalar + 1) : scalar + 1)

const addPart = (p: ScalarProgram, a?: SignedScalar, b?: SignedScalar): SignedScalar | undefined => {
  if (a === undefined) return b
  if (b === undefined) return a
  if (a > 0 === b > 0) return withSign(p.add(indexOf(a), indexOf(b)), a < 0)
  const [plus, minus] = a > 0 ? [a, b] : [b, a]
  return withSign(p.subtract(indexOf(plus), indexOf(minus)), false)
}
const negativePart = (a?: SignedScalar): SignedScalar | undefined => (a === undefined ? undefined : -a)
const multiplyPart = (p: ScalarProgram, a?: SignedScalar, b?: SignedScalar): SignedScalar | undefined =>
  a === undefined || b === undefined ? undefined : withSign(p.multiply(indexOf(a), indexOf(b)), a > 0 !== b > 0)

export const add = (p: ScalarProgram, a: ComplexExpression, b: ComplexExpression): ComplexExpression => ({
  re: addPart(p, a.re, b.re),
  im: addPart(p, a.im, b.im),
})

export const subtract = (p: ScalarProgram, a: ComplexExpression, b: ComplexExpression): ComplexExpression => ({
  re: addPart(p, a.re, negativePart(b.re)),
  im: addPart(p, a.im, negativePart(b.im)),
})

export const multiply = (p: ScalarProgram, a: ComplexExpression, b: ComplexExpression): ComplexExpression => ({
  re: addPart(p, multiplyPart(p, a.re, b.re), negativePart(multiplyPart(p, a.im, b.im))),
  im: addPart(p, multiplyPart(p, a.re, b.im), multiplyPart(p, a.im, b.re)),
})

export const reciprocal = (p: ScalarProgram, { re, im }: ComplexExpression): ComplexExpression => {
  if (re === undefined && im === undefined) throw new Error('A pivot of the equations is zero.')
  if (im === undefined) return { re: withSign(p.reciprocal(indexOf(re as number)), (re as number) < 0) }
  if (re === undefined) return { im: withSign(p.reciprocal(indexOf(im)), im > 0) }
  // Admittances lie between 1e-15 and 1e9 S, so their squares neither overflow nor vanish.
  const square = p.add(p.multiply(indexOf(re), indexOf(re)), p.multiply(indexOf(im), indexOf(im)))
  const d = p.reciprocal(square)
  return {
    re: withSign(p.multiply(indexOf(re), d), re < 0),
    im: withSign(p.multiply(indexOf(im), d), im > 0),
  }
}

/** Scalars of a list of complex numbers, real and imaginary part in turn; a part that is zero becomes the constant 0. */
export const scalarsOf = (p: ScalarProgram, numbers: readonly ComplexExpression[]): Scalar[] =>
  numbers
    .flatMap(({ re, im }) => [re, im])
    .map((part) => {
      if (part === undefined) return p.constant(0)
      return part > 0 ? indexOf(part) : p.negate(indexOf(part))
    })
