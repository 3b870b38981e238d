/** A complex array as two arrays of real numbers. */
export interface ComplexArray {
  re: Float64Array
  im: Float64Array
}

/** Transforms in place; `scratch` stays with the plan, so a plan serves one call at a time. */
export interface ComplexFft {
  size: number
  /** exp(-2 pi i k / size) for k < size. */
  twiddle: ComplexArray
  transform: (data: ComplexArray) => ComplexArray
}

/** exp(-2 pi i k / size), built from its first octant so that no more sines than needed are taken. */
const makeTwiddle = (size: number): ComplexArray => {
  const re = new Float64Array(size)
  const im = new Float64Array(size)
  if (size < 8) {
    for (let k = 0; k < size; k++) {
      re[k] = Math.cos((2 * Math.PI * k) / size)
      im[k] = -Math.sin((2 * Math.PI * k) / size)
    }
    return { re, im }
  }
  const quarter = size / 4
  const half = size / 2
  for (let k = 0; k <= size / 8; k++) {
    const c = Math.cos((2 * Math.PI * k) / size)
    const s = Math.sin((2 * Math.PI * k) / size)
    re[k] = c
    im[k] = -s
    re[quarter - k] = s
    im[quarter - k] = -c
  }
  for (let k = 0; k < quarter; k++) {
    const c = re[k] as number
    const s = im[k] as number
    re[k + quarter] = s
    im[k + quarter] = -c
    re[k + half] = -c
    im[k + half] = -s
    re[k + half + quarter] = -s
    im[k + half + quarter] = c
  }
  return { re, im }
}

/** One radix-4 pass of the self-sorting (Stockham) transform: from x to y, blocks of `length`, `stride` transforms. */
const passOf4 = (x: ComplexArray, y: ComplexArray, twiddle: ComplexArray, length: number, stride: number): void => {
  const xr = x.re
  const xi = x.im
  const yr = y.re
  const yi = y.im
  const wr = twiddle.re
  const wi = twiddle.im
  const quarter = length >> 2
  const jump = quarter * stride
  for (let p = 0; p < quarter; p++) {
    const k = p * stride
    const w1r = wr[k]!
    const w1i = wi[k]!
    const w2r = wr[2 * k]!
    const w2i = wi[2 * k]!
    const w3r = wr[3 * k]!
    const w3i = wi[3 * k]!
    for (let a = k, o = 4 * k; a < k + stride; a++, o++) {
      const b = a + jump
      const c = b + jump
      const d = c + jump
      const sumR = xr[a]! + xr[c]!
      const sumI = xi[a]! + xi[c]!
      const differenceR = xr[a]! - xr[c]!
      const differenceI = xi[a]! - xi[c]!
      const oddR = xr[b]! + xr[d]!
      const oddI = xi[b]! + xi[d]!
      const turnedR = xi[b]! - xi[d]!
      const turnedI = xr[d]! - xr[b]!
      yr[o] = sumR + oddR
      yi[o] = sumI + oddI
      const r1 = differenceR + turnedR
      const i1 = differenceI + turnedI
      yr[o + stride] = r1 * w1r - i1 * w1i
      yi[o + stride] = r1 * w1i + i1 * w1r
      const r2 = sumR - oddR
      const i2 = sumI - oddI
      yr[o + 2 * stride] = r2 * w2r - i2 * w2i
      yi[o + 2 * stride] = r2 * w2i + i2 * w2r
      const r3 = differenceR - turnedR
      const i3 = differenceI - turnedI
      yr[o + 3 * stride] = r3 * w3r - i3 * w3i
      yi[o + 3 * stride] = r3 * w3i + i3 * w3r
    }
  }
}

const passOf2 = (x: ComplexArray, y: ComplexArray, stride: number): void => {
  for (let a = 0; a < stride; a++) {
    const b = a + stride
    y.re[a] = x.re[a]! + x.re[b]!
    y.im[a] = x.im[a]! + x.im[b]!
    y.re[b] = x.re[a]! - x.re[b]!
    y.im[b] = x.im[a]! - x.im[b]!
  }
}

/**
 * Plans a complex forward transform (no scaling) of a power-of-two size.
 *
 * @returns a plan whose `transform` uses the given arrays as work space and returns the pair that holds the result: the
 * given one or the plan's own, valid until the next call
 * Source: the self-sorting radix-4 algorithm of Stockham, from general knowledge.
 */
export const planComplexFft = (size: number): ComplexFft => {
  const twiddle = makeTwiddle(size)
  const scratch: ComplexArray = { re: new Float64Array(size), im: new Float64Array(size) }
  const transform = (data: ComplexArray): ComplexArray => {
    let from = data
    let to = scratch
    let stride = 1
    let length = size
    for (; length >= 4; length >>= 2, stride *= 4) {
      passOf4(from, to, twiddle, length, stride)
      const swap = from
      from = to
      to = swap
    }
    if (length === 1) return from
    passOf2(from, to, stride)
    return to
  }
  return { size, twiddle, transform }
}
