/** Variance of the samples from `from` to `to`, mean removed; null when fewer than 32 are there. */
export const varianceOf = (samples: Float64Array, from: number, to: number): number | null => {
  const first = Math.max(0, from)
  const end = Math.min(samples.length, to)
  const count = end - first
  if (count < 32) return null
  let sum = 0
  for (let i = first; i < end; i++) sum += samples[i]
  const mean = sum / count
  let squares = 0
  for (let i = first; i < end; i++) squares += (samples[i] - mean) ** 2
  return squares / (count - 1)
}
