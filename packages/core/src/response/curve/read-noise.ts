import { powerOfGrid } from './complex-grid.ts'
import type { ResponseLevel } from './deconvolve.ts'
import { gridFrequenciesHz } from './grid.ts'
import { readGrid } from './grid-kernels.ts'
import { harmonicSpanS } from './inverse-filter.ts'
import { longestFlatS, longestNoiseFadeS } from './measuring-window.ts'
import type { ResponsePlan } from './response-plan.ts'

/** Neighbouring grid points over which the noise is averaged, to either side. */
const neighbours = 4

const mostLags = 12

/**
 * Lags (s) at which neither the response nor a harmonic stands, spread over all such lags: bass was recorded with long lags
 * behind it, treble with long lags before it, and both must be seen.
 */
export const quietLags = (plan: ResponsePlan): number[] => {
  const { size, rateHz } = plan.filter
  const widthS = 2 * longestNoiseFadeS
  const startS = 2 * longestFlatS + widthS / 2
  const endS = size / rateHz - harmonicSpanS(plan.sweep.rateS) - widthS
  const count = Math.min(mostLags, Math.max(0, Math.floor((endS - startS) / widthS) + 1))
  return Array.from({ length: count }, (_, i) => startS + (i * (endS - startS)) / Math.max(1, count - 1))
}

/**
 * How much of the recording one lag of one frequency was read from: 1 when the moment at which the sweep passed that
 * frequency, plus the lag, lies inside the recorded stretch (lags run round, so perhaps more than once).
 */
const coverage = (plan: ResponsePlan, frequencyHz: number, lagS: number, stretchS: number): number => {
  const { rateS, runInS, settings } = plan.sweep
  if (rateS === null) return 1
  const periodS = plan.filter.size / plan.filter.rateHz
  const passesS = runInS + rateS * Math.log(frequencyHz / settings.fromHz)
  const first = passesS + lagS - Math.floor((passesS + lagS) / periodS) * periodS
  return first > stretchS ? 0 : 1 + Math.floor((stretchS - first) / periodS)
}

/**
 * Mean of exponentially distributed powers from their middle value, which one lag with something else in it cannot move.
 * The expected value of the r-th of n is the sum of 1/k for k from n - r + 1 to n. Source: order statistics of the
 * exponential distribution (Renyi), from general knowledge.
 */
const meanByMedian = (powers: Float64Array, count: number): number => {
  const sorted = powers.subarray(0, count).sort()
  const middle = Math.ceil(count / 2)
  let expected = 0
  for (let k = count - middle + 1; k <= count; k++) expected += 1 / k
  return sorted[middle - 1] / expected
}

/**
 * Noise of the response per second of window width, at every grid frequency: what the measuring sums read at lags where
 * nothing but noise stands. It has passed through the same division as the response, so it needs no model of the noise.
 *
 * @param options.stretchS length of the recorded stretch that was deconvolved, s
 * @returns mean |noise|^2 per second of `noiseWidthS`, or null when the sweep is too short to tell
 */
export const readNoise = (options: {
  plan: ResponsePlan
  levels: readonly ResponseLevel[]
  stretchS: number
}): Float64Array | null => {
  const { plan, levels, stretchS } = options
  const { kernels } = plan.noise
  const count = gridFrequenciesHz.length
  const lags = quietLags(plan)
  const reads = lags.map((lagS) => powerOfGrid(readGrid({ kernels, levels, centreS: lagS, zeroS: lagS })))
  const perPoint = new Float64Array(count)
  const powers = new Float64Array(lags.length)
  for (let i = 0; i < count; i++) {
    let found = 0
    for (let lag = 0; lag < lags.length; lag++) {
      const covered = coverage(plan, gridFrequenciesHz[i], lags[lag], stretchS)
      if (covered > 0) powers[found++] = reads[lag][i] / covered
    }
    if (found === 0) return null
    perPoint[i] = meanByMedian(powers, found) / kernels.noiseWidthS[i]
  }
  return perPoint.map((_, i) => {
    const near = perPoint.subarray(Math.max(0, i - neighbours), i + neighbours + 1)
    return near.reduce((sum, value) => sum + value, 0) / near.length
  })
}
