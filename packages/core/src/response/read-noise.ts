import type { ResponseLevel } from './deconvolve.ts'
import { gridFrequenciesHz } from './grid.ts'
import { readGrid } from './grid-kernels.ts'
import { harmonicSpanS } from './inverse-filter.ts'
import { longestFlatS, longestNoiseFadeS } from './measuring-window.ts'
import type { ResponsePlan } from './response-plan.ts'

/** Neighbouring grid points over which the noise is averaged, to either side. */
const neighbours = 4

/** Lags (s) at which neither the response nor a harmonic stands. */
export const quietLags = (plan: ResponsePlan): number[] => {
  const { size, rateHz } = plan.filter
  const stepS = 2 * longestNoiseFadeS
  const endS = size / rateHz - harmonicSpanS(plan.sweep.rateS) - stepS
  const lags: number[] = []
  for (let lagS = 2 * longestFlatS + stepS / 2; lagS <= endS && lags.length < 10; lagS += stepS) lags.push(lagS)
  return lags
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
  const power = new Float64Array(count)
  const weight = new Float64Array(count)
  for (const lagS of quietLags(plan)) {
    const read = readGrid({ kernels, levels, centreS: lagS, zeroS: lagS })
    for (let i = 0; i < count; i++) {
      const covered = coverage(plan, gridFrequenciesHz[i], lagS, stretchS)
      power[i] = power[i] + (covered > 0 ? read.re[i] ** 2 + read.im[i] ** 2 : 0)
      weight[i] = weight[i] + covered
    }
  }
  const smooth = new Float64Array(count)
  for (let i = 0; i < count; i++) {
    let sum = 0
    let weights = 0
    for (let j = Math.max(0, i - neighbours); j <= Math.min(count - 1, i + neighbours); j++) {
      // The power grows with frequency under white noise; dividing by it first keeps the average honest at the ends.
      sum += (power[j] * kernels.noiseWidthS[i]) / kernels.noiseWidthS[j]
      weights += weight[j]
    }
    if (weights < 1) return null
    smooth[i] = sum / weights / kernels.noiseWidthS[i]
  }
  return smooth
}
