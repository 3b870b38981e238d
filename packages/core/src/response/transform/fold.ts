/**
 * Puts the samples `from` to `to` (what lies outside the array counts as zero) into `folded`, added up modulo its length:
 * its transform is the spectrum of the whole stretch at that many frequencies. The stretch may be longer; only the
 * response's lags must fit.
 */
export const foldInto = (folded: Float64Array, samples: Float64Array, from: number, to: number): Float64Array => {
  const size = folded.length
  const first = Math.max(0, from)
  const end = Math.min(samples.length, to)
  let at = (((first - from) % size) + size) % size
  const firstRun = Math.max(0, Math.min(end - first, size - at))
  folded.fill(0, 0, at)
  folded.fill(0, at + firstRun)
  for (let i = first; i < end; ) {
    const run = Math.min(end - i, size - at)
    if (i === first) folded.set(samples.subarray(i, i + run), at)
    else for (let j = 0; j < run; j++) folded[at + j] += samples[i + j]
    i += run
    at = 0
  }
  return folded
}
