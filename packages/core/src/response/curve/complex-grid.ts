/** Complex values on the measuring grid, as two arrays of real numbers. */
export interface ComplexArray {
  re: Float64Array
  im: Float64Array
}

/** a / b, point by point. */
export const divideGrid = (a: ComplexArray, b: ComplexArray): ComplexArray => {
  const count = a.re.length
  const result = { re: new Float64Array(count), im: new Float64Array(count) }
  for (let i = 0; i < count; i++) {
    const power = b.re[i] ** 2 + b.im[i] ** 2
    result.re[i] = (a.re[i] * b.re[i] + a.im[i] * b.im[i]) / power
    result.im[i] = (a.im[i] * b.re[i] - a.re[i] * b.im[i]) / power
  }
  return result
}

/** a exp(+j 2 pi f delay), point by point: takes a pure delay (s) out of a response. */
export const advanceGrid = (a: ComplexArray, frequenciesHz: readonly number[], delayS: number): ComplexArray => {
  const count = a.re.length
  const result = { re: new Float64Array(count), im: new Float64Array(count) }
  for (let i = 0; i < count; i++) {
    const angle = 2 * Math.PI * frequenciesHz[i] * delayS
    const c = Math.cos(angle)
    const s = Math.sin(angle)
    result.re[i] = a.re[i] * c - a.im[i] * s
    result.im[i] = a.re[i] * s + a.im[i] * c
  }
  return result
}

/** |a|^2, point by point. */
export const powerOfGrid = (a: ComplexArray): Float64Array => a.re.map((re, i) => re * re + a.im[i] * a.im[i])
