/** Sums of `factor` neighbouring samples; what folds over does so in sweep and recording alike. */
export const slowDown = (samples: Float64Array, factor: number): Float64Array => {
  const slow = new Float64Array(Math.ceil(samples.length / factor))
  for (let i = 0, at = 0; i < slow.length; i++, at += factor) {
    const end = Math.min(samples.length, at + factor)
    let sum = 0
    for (let j = at; j < end; j++) sum += samples[j]
    slow[i] = sum
  }
  return slow
}

/** Energy in the `2 reach + 1` samples around each one of an array that runs round. */
export const energyAround = (samples: Float64Array, reach: number): Float64Array => {
  const size = samples.length
  const energy = new Float64Array(size)
  let sum = 0
  for (let i = -reach; i <= reach; i++) sum += samples[(i + size) % size] ** 2
  for (let i = 0; i < size; i++) {
    energy[i] = Math.max(0, sum)
    const entering = i + reach + 1
    const leaving = i - reach
    sum += samples[entering >= size ? entering - size : entering] ** 2
    sum -= samples[leaving < 0 ? leaving + size : leaving] ** 2
  }
  return energy
}
