import { vectorMemory } from './vector-pass.ts'

/**
 * A complex forward transform without scaling. Complex arrays are interleaved here: real part of bin k at 2k, imaginary
 * part at 2k + 1.
 */
export interface ComplexFft {
  size: number
  /** The two arrays (of 2 * size doubles) that the plan works in. */
  first: Float64Array
  second: Float64Array
  /** Transforms what stands in `from`, one of the two arrays; the result stands in the array that is returned. */
  transform: (from: Float64Array) => Float64Array
}

/** Fills a table with exp(-2 pi i k / size), interleaved, from the sines of its first eighth. */
const fillTwiddle = (table: Float64Array): void => {
  const size = table.length / 2
  const put = (k: number, re: number, im: number) => {
    table[2 * k] = re
    table[2 * k + 1] = im
  }
  if (size % 8 !== 0) {
    for (let k = 0; k < size; k++) put(k, Math.cos((2 * Math.PI * k) / size), -Math.sin((2 * Math.PI * k) / size))
    return
  }
  const quarter = size / 4
  for (let k = 0; k <= size / 8; k++) {
    const c = Math.cos((2 * Math.PI * k) / size)
    const s = Math.sin((2 * Math.PI * k) / size)
    put(k, c, -s)
    put(quarter - k, s, -c)
  }
  for (let k = 0; k < quarter; k++) {
    const c = table[2 * k]
    const s = table[2 * k + 1]
    put(k + quarter, s, -c)
    put(k + 2 * quarter, -c, -s)
    put(k + 3 * quarter, -s, c)
  }
}

/** The first radix-4 pass, from x to y: `passOf4` with a stride of 1, whose inner loop would run once each time. */
const firstPassOf4 = (x: Float64Array, y: Float64Array, twiddle: Float64Array, length: number): void => {
  const jump = length >> 1
  for (let a = 0, o = 0; a < jump; a += 2, o += 8) {
    const b = a + jump
    const c = b + jump
    const d = c + jump
    const sumR = x[a] + x[c]
    const sumI = x[a + 1] + x[c + 1]
    const differenceR = x[a] - x[c]
    const differenceI = x[a + 1] - x[c + 1]
    const oddR = x[b] + x[d]
    const oddI = x[b + 1] + x[d + 1]
    const turnedR = x[b + 1] - x[d + 1]
    const turnedI = x[d] - x[b]
    y[o] = sumR + oddR
    y[o + 1] = sumI + oddI
    const r1 = differenceR + turnedR
    const i1 = differenceI + turnedI
    y[o + 2] = r1 * twiddle[a] - i1 * twiddle[a + 1]
    y[o + 3] = r1 * twiddle[a + 1] + i1 * twiddle[a]
    const r2 = sumR - oddR
    const i2 = sumI - oddI
    y[o + 4] = r2 * twiddle[2 * a] - i2 * twiddle[2 * a + 1]
    y[o + 5] = r2 * twiddle[2 * a + 1] + i2 * twiddle[2 * a]
    const r3 = differenceR - turnedR
    const i3 = differenceI - turnedI
    y[o + 6] = r3 * twiddle[3 * a] - i3 * twiddle[3 * a + 1]
    y[o + 7] = r3 * twiddle[3 * a + 1] + i3 * twiddle[3 * a]
  }
}

/** A radix-4 pass from x to y over blocks of `length`, `stride` transforms side by side. */
const passOf4 = (x: Float64Array, y: Float64Array, twiddle: Float64Array, length: number, stride: number): void => {
  const quarter = length >> 2
  const jump = 2 * quarter * stride
  const step = 2 * stride
  for (let p = 0; p < quarter; p++) {
    const k = p * step
    const w1r = twiddle[k]
    const w1i = twiddle[k + 1]
    const w2r = twiddle[2 * k]
    const w2i = twiddle[2 * k + 1]
    const w3r = twiddle[3 * k]
    const w3i = twiddle[3 * k + 1]
    for (let a = k, o = 4 * k; a < k + step; a += 2, o += 2) {
      const b = a + jump
      const c = b + jump
      const d = c + jump
      const sumR = x[a] + x[c]
      const sumI = x[a + 1] + x[c + 1]
      const differenceR = x[a] - x[c]
      const differenceI = x[a + 1] - x[c + 1]
      const oddR = x[b] + x[d]
      const oddI = x[b + 1] + x[d + 1]
      const turnedR = x[b + 1] - x[d + 1]
      const turnedI = x[d] - x[b]
      y[o] = sumR + oddR
      y[o + 1] = sumI + oddI
      const r1 = differenceR + turnedR
      const i1 = differenceI + turnedI
      const o1 = o + step
      y[o1] = r1 * w1r - i1 * w1i
      y[o1 + 1] = r1 * w1i + i1 * w1r
      const r2 = sumR - oddR
      const i2 = sumI - oddI
      const o2 = o1 + step
      y[o2] = r2 * w2r - i2 * w2i
      y[o2 + 1] = r2 * w2i + i2 * w2r
      const r3 = differenceR - turnedR
      const i3 = differenceI - turnedI
      const o3 = o2 + step
      y[o3] = r3 * w3r - i3 * w3i
      y[o3 + 1] = r3 * w3i + i3 * w3r
    }
  }
}

const passOf2 = (x: Float64Array, y: Float64Array, twiddle: Float64Array, length: number, stride: number): void => {
  const half = length >> 1
  const step = 2 * stride
  for (let p = 0; p < half; p++) {
    const k = p * step
    const wr = twiddle[k]
    const wi = twiddle[k + 1]
    for (let a = k, o = 2 * k; a < k + step; a += 2, o += 2) {
      const b = a + half * step
      y[o] = x[a] + x[b]
      y[o + 1] = x[a + 1] + x[b + 1]
      const re = x[a] - x[b]
      const im = x[a + 1] - x[b + 1]
      y[o + step] = re * wr - im * wi
      y[o + step + 1] = re * wi + im * wr
    }
  }
}

/** The last pass of a size with a factor of three: no twiddles are left. */
const lastPassOf3 = (x: Float64Array, y: Float64Array, stride: number): void => {
  const step = 2 * stride
  const sine = Math.sqrt(3) / 2
  for (let a = 0; a < step; a += 2) {
    const b = a + step
    const c = b + step
    const sumR = x[b] + x[c]
    const sumI = x[b + 1] + x[c + 1]
    const middleR = x[a] - 0.5 * sumR
    const middleI = x[a + 1] - 0.5 * sumI
    const turnedR = sine * (x[b + 1] - x[c + 1])
    const turnedI = sine * (x[c] - x[b])
    y[a] = x[a] + sumR
    y[a + 1] = x[a + 1] + sumI
    y[b] = middleR + turnedR
    y[b + 1] = middleI + turnedI
    y[c] = middleR - turnedR
    y[c + 1] = middleI - turnedI
  }
}

/** The radices of a size, in the order of the passes: fours, perhaps a two, perhaps a three. */
const radicesOf = (size: number): number[] => {
  const radices: number[] = []
  let length = size
  for (; length % 4 === 0; length /= 4) radices.push(4)
  if (length % 2 === 0) radices.push(2)
  if (length % 3 === 0) radices.push(3)
  return radices
}

/** Three arrays and the radix-4 pass between them: in vector memory where there is one, else plain. */
const makeRoom = (size: number) => {
  const bytes = 16 * size
  const vector = vectorMemory(3 * bytes)
  const room = (place: number) =>
    vector ? new Float64Array(vector.buffer, place * bytes, 2 * size) : new Float64Array(2 * size)
  const twiddle = room(2)
  fillTwiddle(twiddle)
  const pass = (from: Float64Array, to: Float64Array, length: number, stride: number): void => {
    if (vector) vector.passOf4(from.byteOffset, to.byteOffset, twiddle.byteOffset, 4 * length * stride, 16 * stride)
    else if (stride === 1) firstPassOf4(from, to, twiddle, length)
    else passOf4(from, to, twiddle, length, stride)
  }
  return { first: room(0), second: room(1), twiddle, pass }
}

/**
 * Plans a complex transform of a size 2^a or 3 * 2^a.
 * Source: the self-sorting algorithm of Stockham, from general knowledge.
 */
export const planComplexFft = (size: number): ComplexFft => {
  const { first, second, twiddle, pass } = makeRoom(size)
  const radices = radicesOf(size)
  const transform = (start: Float64Array): Float64Array => {
    let from: Float64Array = start
    let to: Float64Array = start === first ? second : first
    let length = size
    let stride = 1
    for (const radix of radices) {
      if (radix === 4) pass(from, to, length, stride)
      else if (radix === 2) passOf2(from, to, twiddle, length, stride)
      else lastPassOf3(from, to, stride)
      length /= radix
      stride *= radix
      const swap = from
      from = to
      to = swap
    }
    return from
  }
  return { size, first, second, transform }
}
