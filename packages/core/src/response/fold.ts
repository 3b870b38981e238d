/**
 * Samples `from` to `to` (what lies outside the array counts as zero), added up modulo `size`: its transform is the
 * spectrum of the whole stretch at `size` frequencies. The stretch may be longer than `size`; only the response's lags
 * must fit. This halves the transforms of a sweep that is a little longer than a power of two.
 */
export const foldInto = (samples: Float64Array, from: number, to: number, size: number): Float64Array => {
  const folded = new Float64Array(size)
  const first = Math.max(0, from)
  const end = Math.min(samples.length, to)
  let at = (((first - from) % size) + size) % size
  for (let i = first; i < end; ) {
    const run = Math.min(end - i, size - at)
    for (let j = 0; j < run; j++) folded[at + j] = folded[at + j] + samples[i + j]
    i += run
    at = 0
  }
  return folded
}
