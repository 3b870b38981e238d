import type { ComplexArray } from './complex-grid.ts'
import type { PlannedReading } from './response-plan.ts'

/** Neighbouring grid points that share one decision, to either side. */
const neighbours = 3

/**
 * Blends the short window's reading with the long one's. Where they differ by no more than noise explains, the short one
 * (less noise) is taken; where the response rings longer, the long one. The part of the long window is the Wiener weight
 * (|d|^2 - noise) / |d|^2 of the mean difference d over seven neighbours.
 *
 * @param options.long `options.short` readings, already divided by those of the stimulus
 * @param options.noise |noise|^2 per second of window width and grid point
 * @returns the response, and |noise|^2 of each of its points
 * Source: shrinkage of an estimate of known variance (Stein), from general knowledge.
 */
export const chooseWindow = (options: {
  long: ComplexArray
  short: ComplexArray
  longPlan: PlannedReading
  shortPlan: PlannedReading
  noise: Float64Array
}): { response: ComplexArray; noisePower: Float64Array } => {
  const { long, short, longPlan, shortPlan, noise } = options
  const count = noise.length
  const excess = new Float64Array(count)
  const noiseOf = (width: Float64Array, i: number) => noise[i] * width[i]
  const longWidth = longPlan.kernels.noiseWidthS
  const shortWidth = shortPlan.kernels.noiseWidthS
  for (let i = 0; i < count; i++) excess[i] = (long.re[i] - short.re[i]) ** 2 + (long.im[i] - short.im[i]) ** 2
  const response = { re: new Float64Array(count), im: new Float64Array(count) }
  const noisePower = new Float64Array(count)
  for (let i = 0; i < count; i++) {
    let difference = 0
    let expected = 0
    for (let j = Math.max(0, i - neighbours); j <= Math.min(count - 1, i + neighbours); j++) {
      difference += excess[j]
      // The short window lies inside the long one, so their difference carries the noise of what is between.
      expected += Math.max(0, noiseOf(longWidth, j) - noiseOf(shortWidth, j))
    }
    const part = difference > expected ? 1 - expected / difference : 0
    response.re[i] = short.re[i] + part * (long.re[i] - short.re[i])
    response.im[i] = short.im[i] + part * (long.im[i] - short.im[i])
    const between = Math.max(0, noiseOf(longWidth, i) - noiseOf(shortWidth, i))
    noisePower[i] = noiseOf(shortWidth, i) + part * part * between
  }
  return { response, noisePower }
}
