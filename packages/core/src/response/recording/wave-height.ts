/** Highest and lowest sample of a stretch; both 0 when it is empty. */
export function heightOf(samples: Float64Array, from: number, to: number): { high: number; low: number } {
  let high = Number.NEGATIVE_INFINITY
  let low = Number.POSITIVE_INFINITY
  for (let i = Math.max(0, from); i < Math.min(samples.length, to); i++) {
    if (samples[i] > high) high = samples[i]
    if (samples[i] < low) low = samples[i]
  }
  return high >= low ? { high, low } : { high: 0, low: 0 }
}
