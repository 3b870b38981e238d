import { planComplexFft } from './complex-fft.ts'

/** Transforms between `size` real samples and `size / 2 + 1` complex bins. A plan serves one call at a time. */
export interface RealFft {
  size: number
  /** Samples to bins, unscaled. `samples` may be shorter than `size`: zeros are taken behind it. */
  forward: (samples: Float64Array, bins: Float64Array) => void
  /** Bins to samples, scaled by 1/size, so that it undoes `forward`. */
  inverse: (bins: Float64Array, samples: Float64Array) => void
  /** The plan's own array of `size` samples: what is put there goes into `filter` without a copy. */
  input: Float64Array
  /**
   * Transforms `input`, multiplies by `filter` (bins) and transforms back; the first bins are kept in `low`. The samples
   * returned are the plan's own: its next call writes over them.
   */
  filter: (filter: Float64Array, low: Float64Array) => Float64Array
}

const plans = new Map<number, RealFft>()

/** Smallest size 2^a or 3 * 2^a (at least 16) that holds `count` samples. */
export const fftSizeFrom = (count: number): number => {
  const power = 2 ** Math.ceil(Math.log2(Math.max(16, count)))
  return 0.75 * power >= Math.max(16, count) ? 0.75 * power : power
}

/** Room for the bins of a real transform: interleaved, real part of bin k at 2k, imaginary part at 2k + 1. */
export const makeBins = (size: number): Float64Array => new Float64Array(size + 2)

/** exp(-2 pi i k / size) for k up to a quarter of `size`, interleaved: it joins even and odd samples. */
const makeJoints = (size: number): Float64Array => {
  const count = Math.floor(size / 4) + 1
  const joints = new Float64Array(2 * count)
  for (let k = 0; k < count; k++) {
    joints[2 * k] = Math.cos((2 * Math.PI * k) / size)
    joints[2 * k + 1] = -Math.sin((2 * Math.PI * k) / size)
  }
  return joints
}

const unpack = (z: Float64Array, joints: Float64Array, half: number, bins: Float64Array): void => {
  bins[0] = z[0] + z[1]
  bins[1] = 0
  bins[2 * half] = z[0] - z[1]
  bins[2 * half + 1] = 0
  for (let k = 2, j = 2 * half - 2; k <= j; k += 2, j -= 2) {
    const evenR = 0.5 * (z[k] + z[j])
    const evenI = 0.5 * (z[k + 1] - z[j + 1])
    const oddR = 0.5 * (z[k + 1] + z[j + 1])
    const oddI = 0.5 * (z[j] - z[k])
    const turnedR = oddR * joints[k] - oddI * joints[k + 1]
    const turnedI = oddR * joints[k + 1] + oddI * joints[k]
    bins[k] = evenR + turnedR
    bins[k + 1] = evenI + turnedI
    bins[j] = evenR - turnedR
    bins[j + 1] = turnedI - evenI
  }
}

/** The reverse of `unpack`, in reversed order: a forward transform of reversed bins is the inverse transform. */
const pack = (bins: Float64Array, joints: Float64Array, half: number, z: Float64Array): void => {
  const scale = 0.5 / half
  z[0] = (bins[0] + bins[2 * half]) * scale
  z[1] = (bins[0] - bins[2 * half]) * scale
  for (let k = 2, j = 2 * half - 2; k <= j; k += 2, j -= 2) {
    const evenR = (bins[k] + bins[j]) * scale
    const evenI = (bins[k + 1] - bins[j + 1]) * scale
    const turnedR = (bins[k] - bins[j]) * scale
    const turnedI = (bins[k + 1] + bins[j + 1]) * scale
    const oddR = turnedR * joints[k] + turnedI * joints[k + 1]
    const oddI = turnedI * joints[k] - turnedR * joints[k + 1]
    z[j] = evenR - oddI
    z[j + 1] = evenI + oddR
    z[k] = evenR + oddI
    z[k + 1] = oddR - evenI
  }
}

/**
 * `unpack`, times a filter, `pack`, in one walk over the pairs of bins, from z to out; saves carrying the whole spectrum to
 * memory and back. The first bins are kept in `low` (interleaved, as many as fit).
 */
const filterPairs = (
  z: Float64Array,
  joints: Float64Array,
  half: number,
  filter: Float64Array,
  out: Float64Array,
  low: Float64Array,
): void => {
  const scale = 0.5 / half
  const ends = [(z[0] + z[1]) * filter[0], (z[0] - z[1]) * filter[2 * half]]
  out[0] = (ends[0] + ends[1]) * scale
  out[1] = (ends[0] - ends[1]) * scale
  low[0] = ends[0]
  low[1] = 0
  for (let k = 2, j = 2 * half - 2; k <= j; k += 2, j -= 2) {
    const c = joints[k]
    const s = joints[k + 1]
    const evenR = 0.5 * (z[k] + z[j])
    const evenI = 0.5 * (z[k + 1] - z[j + 1])
    const oddR = 0.5 * (z[k + 1] + z[j + 1])
    const oddI = 0.5 * (z[j] - z[k])
    const turnedR = oddR * c - oddI * s
    const turnedI = oddR * s + oddI * c
    const kr = (evenR + turnedR) * filter[k] - (evenI + turnedI) * filter[k + 1]
    const ki = (evenR + turnedR) * filter[k + 1] + (evenI + turnedI) * filter[k]
    const jr = (evenR - turnedR) * filter[j] - (turnedI - evenI) * filter[j + 1]
    const ji = (evenR - turnedR) * filter[j + 1] + (turnedI - evenI) * filter[j]
    if (k < low.length) {
      low[k] = kr
      low[k + 1] = ki
    }
    const sumR = (kr + jr) * scale
    const sumI = (ki - ji) * scale
    const differenceR = (kr - jr) * scale
    const differenceI = (ki + ji) * scale
    const backR = differenceR * c + differenceI * s
    const backI = differenceI * c - differenceR * s
    out[j] = sumR - backI
    out[j + 1] = sumI + backR
    out[k] = sumR + backI
    out[k + 1] = backR - sumI
  }
}

const plan = (size: number): RealFft => {
  const half = size / 2
  const { first, second, transform } = planComplexFft(half)
  const joints = makeJoints(size)
  // Neighbouring samples stand as real and imaginary part already: no packing is needed on this side.
  const forward = (samples: Float64Array, bins: Float64Array): void => {
    const count = Math.min(size, samples.length)
    first.set(count < samples.length ? samples.subarray(0, count) : samples)
    first.fill(0, count)
    unpack(transform(first), joints, half, bins)
  }
  const inverse = (bins: Float64Array, samples: Float64Array): void => {
    pack(bins, joints, half, first)
    samples.set(transform(first))
  }
  const filter = (response: Float64Array, low: Float64Array): Float64Array => {
    const spectrum = transform(first)
    const spare = spectrum === first ? second : first
    filterPairs(spectrum, joints, half, response, spare, low)
    return transform(spare)
  }
  return { size, forward, inverse, input: first, filter }
}

/**
 * The plan for a real transform of a size that `fftSizeFrom` gives; kept for the next call.
 * Source: one complex transform of half the size on even and odd samples, from general knowledge.
 */
export const realFft = (size: number): RealFft => {
  const known = plans.get(size)
  if (known) return known
  const made = plan(size)
  plans.set(size, made)
  return made
}
