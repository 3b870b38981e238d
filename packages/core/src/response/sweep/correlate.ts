import { fftSizeFrom, makeBins, realFft } from '../transform/fft.ts'

/**
 * Correlation of a part with every place in a longer stretch: for each lag from 0, the sum over i of part[i] times
 * where[i + lag]; `where` counts as zero beyond its end.
 * @returns at least `where.length` lags
 */
export function correlate(part: Float64Array, where: Float64Array): Float64Array {
  const size = fftSizeFrom(where.length + part.length)
  const fft = realFft(size)
  const p = makeBins(size)
  const w = makeBins(size)
  fft.forward(part, p)
  fft.forward(where, w)
  for (let k = 0; k < w.length; k += 2) {
    const re = w[k] * p[k] + w[k + 1] * p[k + 1]
    w[k + 1] = w[k + 1] * p[k] - w[k] * p[k + 1]
    w[k] = re
  }
  const out = new Float64Array(size)
  fft.inverse(w, out)
  return out
}
