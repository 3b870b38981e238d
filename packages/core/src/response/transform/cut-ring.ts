/** `count` samples from `from` on (may be negative) of an array that runs round. */
export const cutRing = (samples: Float64Array, from: number, count: number): Float64Array => {
  const size = samples.length
  const cut = new Float64Array(count)
  let at = ((from % size) + size) % size
  for (let i = 0; i < count; ) {
    const run = Math.min(count - i, size - at)
    cut.set(samples.subarray(at, at + run), i)
    i += run
    at = 0
  }
  return cut
}
