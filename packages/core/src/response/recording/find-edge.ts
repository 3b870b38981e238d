/** A place where a smooth wave is broken: it goes on at another height. */
export interface Edge {
  /** First sample behind the break. */
  atSample: number
  /** By how much the wave goes on higher, full scale = 1. */
  height: number
}

/** Samples on each side that a straight line is laid through. */
const reach = 12
/** How far above the usual scatter a break must stand: noise alone reaches 5 in a million samples. */
const clearOfNoise = 7
/** And above the next one elsewhere: the kinks of a crossover come with every half cycle. */
const clearOfOthers = 1.5

/** Heights of a straight line through `reach` values, carried half a sample beyond its end, as weights of the values. */
const lineWeights = Float64Array.from({ length: reach }, (_, i) => {
  const middle = (reach - 1) / 2
  const squares = (reach * (reach * reach - 1)) / 12
  return 1 / reach + ((reach - 0.5 - middle) * (i - middle)) / squares
})

/** By how much the samples from `at` on stand above those before, both sides carried on in straight lines. */
const stepAt = (samples: Float64Array, at: number): number => {
  let step = 0
  for (let i = 0; i < reach; i++) step += lineWeights[i] * (samples[at + reach - 1 - i] - samples[at - reach + i])
  return step
}

/**
 * Finds the sharpest break in a stretch of a slow wave, if it stands clear of the noise.
 *
 * @param options.from first sample of the stretch, `options.to` the first one behind it
 */
export const findEdge = (options: { samples: Float64Array; from: number; to: number }): Edge | null => {
  const { samples } = options
  const from = Math.max(reach, options.from)
  const to = Math.min(samples.length - reach, options.to)
  let best = from
  let most = 0
  let squares = 0
  // A break shows in every second place as well, and half of the places are enough to find it.
  for (let at = from; at < to; at += 2) {
    const step = stepAt(samples, at)
    squares += step * step
    if (Math.abs(step) > most) {
      most = Math.abs(step)
      best = at
    }
  }
  const usual = Math.sqrt(squares / Math.max(1, (to - from) / 2))
  for (const at of [best - 1, best + 1]) if (Math.abs(stepAt(samples, at)) > Math.abs(stepAt(samples, best))) best = at
  const height = to > from ? stepAt(samples, best) : 0
  if (Math.abs(height) <= clearOfNoise * usual) return null
  for (let at = from; at < to; at += 2) {
    const isElsewhere = Math.abs(at - best) > 2 * reach
    if (isElsewhere && clearOfOthers * Math.abs(stepAt(samples, at)) > Math.abs(height)) return null
  }
  return { atSample: best, height }
}
