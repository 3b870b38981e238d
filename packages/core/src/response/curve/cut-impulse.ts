import type { ImpulseResponse } from '../recording/recording-view.ts'
import { cutRing } from '../transform/cut-ring.ts'
import type { ResponseLevel } from './deconvolve.ts'
import { gridFrequenciesHz } from './grid.ts'
import { longestFlatS, longWindow } from './measuring-window.ts'

/** Kept beyond the longest window on both sides, s. */
const marginS = 0.05

/**
 * The linear impulse response by itself, long enough that its curve can be made again.
 *
 * @param options.delayS pure delay, told from lag 0
 * @param options.noise |noise|^2 per second of window width, per grid point
 */
export const cutImpulse = (options: {
  level: ResponseLevel
  rateS: number | null
  delayS: number
  noise: Float64Array
}): ImpulseResponse => {
  const { level, rateS, delayS, noise } = options
  const { rateHz, samples } = level
  const longest = longWindow(gridFrequenciesHz[0], rateS)
  const before = Math.ceil((longest.flatBeforeS + longest.fadeInS + marginS) * rateHz)
  const after = Math.ceil((2 * longestFlatS + marginS) * rateHz)
  const centre = Math.round(delayS * rateHz)
  return {
    rateHz,
    samples: cutRing(samples, centre - before, before + after),
    zeroIndex: before + delayS * rateHz - centre,
    noise,
  }
}
