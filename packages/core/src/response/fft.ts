import { type ComplexArray, planComplexFft } from './complex-fft.ts'

/** Transforms between `size` real samples and `size / 2 + 1` complex bins. A plan serves one call at a time. */
export interface RealFft {
  size: number
  /** Samples to bins, unscaled. `samples` may be shorter than `size`: zeros are taken behind it. */
  forward: (samples: Float64Array, bins: ComplexArray) => void
  /** Bins to samples, scaled by 1/size, so that it undoes `forward`. */
  inverse: (bins: ComplexArray, samples: Float64Array) => void
}

const plans = new Map<number, RealFft>()

/** Smallest power of two that is at least `count`. */
export const powerOfTwoFrom = (count: number): number => 2 ** Math.ceil(Math.log2(Math.max(1, count)))

/** Room for the bins of a real transform of `size` samples. */
export const makeBins = (size: number): ComplexArray => ({
  re: new Float64Array(size / 2 + 1),
  im: new Float64Array(size / 2 + 1),
})

/** exp(-2 pi i k / size) for k up to a quarter of `size`, which is what joining even and odd samples needs. */
const makeJoints = (size: number): ComplexArray => {
  const count = size / 4 + 1
  const re = new Float64Array(count)
  const im = new Float64Array(count)
  for (let k = 0; k < count; k++) {
    re[k] = Math.cos((2 * Math.PI * k) / size)
    im[k] = -Math.sin((2 * Math.PI * k) / size)
  }
  return { re, im }
}

const unpack = (z: ComplexArray, joints: ComplexArray, half: number, bins: ComplexArray): void => {
  const { re, im } = bins
  re[0] = z.re[0]! + z.im[0]!
  im[0] = 0
  re[half] = z.re[0]! - z.im[0]!
  im[half] = 0
  for (let k = 1, j = half - 1; k <= j; k++, j--) {
    const evenR = 0.5 * (z.re[k]! + z.re[j]!)
    const evenI = 0.5 * (z.im[k]! - z.im[j]!)
    const oddR = 0.5 * (z.im[k]! + z.im[j]!)
    const oddI = 0.5 * (z.re[j]! - z.re[k]!)
    const turnedR = oddR * joints.re[k]! - oddI * joints.im[k]!
    const turnedI = oddR * joints.im[k]! + oddI * joints.re[k]!
    re[k] = evenR + turnedR
    im[k] = evenI + turnedI
    re[j] = evenR - turnedR
    im[j] = turnedI - evenI
  }
}

/** The reverse of `unpack`, with real and imaginary parts exchanged so that a forward transform runs backwards. */
const pack = (bins: ComplexArray, joints: ComplexArray, half: number, z: ComplexArray): void => {
  const { re, im } = bins
  z.im[0] = re[0]! + re[half]!
  z.re[0] = re[0]! - re[half]!
  for (let k = 1, j = half - 1; k <= j; k++, j--) {
    const evenR = re[k]! + re[j]!
    const evenI = im[k]! - im[j]!
    const turnedR = re[k]! - re[j]!
    const turnedI = im[k]! + im[j]!
    const oddR = turnedR * joints.re[k]! + turnedI * joints.im[k]!
    const oddI = turnedI * joints.re[k]! - turnedR * joints.im[k]!
    z.im[k] = evenR - oddI
    z.re[k] = evenI + oddR
    z.im[j] = evenR + oddI
    z.re[j] = oddR - evenI
  }
}

const plan = (size: number): RealFft => {
  const half = size / 2
  const complex = planComplexFft(half)
  const joints = makeJoints(size)
  const work: ComplexArray = { re: new Float64Array(half), im: new Float64Array(half) }
  const forward = (samples: Float64Array, bins: ComplexArray): void => {
    const pairs = Math.min(half, samples.length >> 1)
    for (let i = 0; i < pairs; i++) {
      work.re[i] = samples[2 * i]!
      work.im[i] = samples[2 * i + 1]!
    }
    work.re.fill(0, pairs)
    work.im.fill(0, pairs)
    if (pairs < half && samples.length % 2 === 1) work.re[pairs] = samples[2 * pairs]!
    unpack(complex.transform(work), joints, half, bins)
  }
  const inverse = (bins: ComplexArray, samples: Float64Array): void => {
    pack(bins, joints, half, work)
    const z = complex.transform(work)
    const scale = 1 / size
    for (let i = 0; i < half; i++) {
      samples[2 * i] = z.im[i]! * scale
      samples[2 * i + 1] = z.re[i]! * scale
    }
  }
  return { size, forward, inverse }
}

/**
 * The plan for a real transform of `size` samples, a power of two of at least 4; kept for the next call.
 * Source: one complex transform of half the size on even and odd samples, from general knowledge.
 */
export const realFft = (size: number): RealFft => {
  const known = plans.get(size)
  if (known) return known
  const made = plan(size)
  plans.set(size, made)
  return made
}
