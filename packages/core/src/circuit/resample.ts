import { fftSizeFrom, makeBins, realFft } from '../response/transform/fft.ts'

/**
 * A signal at a whole multiple of its rate, band-limited: the samples in between are those of the only curve below half the
 * rate that goes through the given ones.
 *
 * @param size size of a transform that the signal is padded to before (its end must be quiet); see `padded`
 */
export const upsample = (signal: Float64Array, times: number, size: number): Float64Array => {
  const low = makeBins(size)
  realFft(size).forward(signal, low)
  const high = makeBins(size * times)
  for (let k = 0; k <= size / 2; k++) {
    // The bin at half the rate is shared by both sides of the spectrum; it is empty in a signal that was recorded well.
    const share = k === size / 2 && times > 1 ? times / 2 : times
    high[2 * k] = low[2 * k] * share
    high[2 * k + 1] = low[2 * k + 1] * share
  }
  const out = new Float64Array(size * times)
  realFft(size * times).inverse(high, out)
  return out
}

/** The reverse: everything above half the lower rate is taken away first. `signal` has `size * times` samples. */
export const downsample = (signal: Float64Array, times: number, size: number): Float64Array => {
  const high = makeBins(size * times)
  realFft(size * times).forward(signal, high)
  const low = makeBins(size)
  for (let k = 0; k <= size / 2; k++) {
    low[2 * k] = high[2 * k] / times
    low[2 * k + 1] = k === size / 2 ? 0 : high[2 * k + 1] / times
  }
  const out = new Float64Array(size)
  realFft(size).inverse(low, out)
  return out
}

/** Size of a transform that holds a signal and time for a circuit to calm down behind it. */
export const paddedSize = (length: number, rateHz: number, settleS: number): number =>
  fftSizeFrom(length + settleS * rateHz)
