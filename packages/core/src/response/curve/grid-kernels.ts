import type { ComplexArray } from './complex-grid.ts'
import type { ResponseLevel } from './deconvolve.ts'
import { gridFrequenciesHz } from './grid.ts'
import { type MeasuringWindow, windowWeight } from './measuring-window.ts'

/** Window and exp(-j omega t) of one grid frequency, sampled at the rate of one level. */
interface GridKernel {
  level: number
  /** Where the kernel begins in the tables, and how many samples it has. */
  at: number
  length: number
  /** Samples between the kernel's first one and its centre. */
  before: number
}

export interface GridKernels {
  kernels: GridKernel[]
  /** Sum of the squared weights times the level's rate ratio: noise power is proportional to it. */
  noiseWidthS: Float64Array
  table: ComplexArray
  rateHz: number
}

/** Lowest level that still has four samples a cycle. */
const levelFor = (frequencyHz: number, rateHz: number, levels: number): number => {
  let level = 0
  while (level + 1 < levels && frequencyHz <= rateHz / 4 ** (level + 2)) level++
  return level
}

/**
 * Prepares the sums that read a response at the grid frequencies: for each, the window of that frequency times
 * exp(-j omega t), at the lowest rate that carries it.
 *
 * @param options.levels number of levels of the response
 */
export const makeGridKernels = (options: {
  rateHz: number
  levels: number
  windowAt: (frequencyHz: number) => MeasuringWindow
}): GridKernels => {
  const { rateHz, levels, windowAt } = options
  let total = 0
  const plans = gridFrequenciesHz.map((frequencyHz) => {
    const level = levelFor(frequencyHz, rateHz, levels)
    const window = windowAt(frequencyHz)
    const levelRateHz = rateHz / 4 ** level
    const before = Math.floor((window.flatBeforeS + window.fadeInS) * levelRateHz)
    const length = before + 1 + Math.floor((window.flatAfterS + window.fadeOutS) * levelRateHz)
    total += length
    return { frequencyHz, window, levelRateHz, kernel: { level, before, length, at: total - length } }
  })
  const table = { re: new Float64Array(total), im: new Float64Array(total) }
  const noiseWidthS = new Float64Array(plans.length)
  plans.forEach(({ frequencyHz, window, levelRateHz, kernel }, index) => {
    let squares = 0
    // exp(-j omega t) by turning on from sample to sample: a thousand turns lose 1e-13, a sine each would cost ten times more.
    const turn = (-2 * Math.PI * frequencyHz) / levelRateHz
    const turnRe = Math.cos(turn)
    const turnIm = Math.sin(turn)
    let re = Math.cos(turn * kernel.before)
    let im = -Math.sin(turn * kernel.before)
    for (let i = 0; i < kernel.length; i++) {
      const weight = windowWeight(window, (i - kernel.before) / levelRateHz)
      table.re[kernel.at + i] = weight * re
      table.im[kernel.at + i] = weight * im
      squares += weight * weight
      const nextRe = re * turnRe - im * turnIm
      im = re * turnIm + im * turnRe
      re = nextRe
    }
    noiseWidthS[index] = squares / levelRateHz
  })
  return { kernels: plans.map((plan) => plan.kernel), noiseWidthS, table, rateHz }
}

/** Adds kernel times samples to `sum` (re, im): `count` of the kernel's values from `at` on, samples from `from` on. */
const addRun = (
  sum: Float64Array,
  table: ComplexArray,
  at: number,
  samples: Float64Array,
  from: number,
  count: number,
) => {
  const { re: tableRe, im: tableIm } = table
  // Two sums each, side by side: one alone would wait for every addition to finish.
  let re = 0
  let im = 0
  let otherRe = 0
  let otherIm = 0
  let i = 0
  for (; i + 1 < count; i += 2) {
    const a = samples[from + i]
    const b = samples[from + i + 1]
    re += a * tableRe[at + i]
    im += a * tableIm[at + i]
    otherRe += b * tableRe[at + i + 1]
    otherIm += b * tableIm[at + i + 1]
  }
  if (i < count) {
    re += samples[from + i] * tableRe[at + i]
    im += samples[from + i] * tableIm[at + i]
  }
  sum[0] += re + otherRe
  sum[1] += im + otherIm
}

/** Writes kernel times response, centred at a sample, to `sum` (re, im). */
const dot = (sum: Float64Array, kernel: GridKernel, table: ComplexArray, samples: Float64Array, centre: number) => {
  const size = samples.length
  const from = (((centre - kernel.before) % size) + size) % size
  // Lags run round: what goes beyond the end goes on at the beginning.
  const first = Math.min(kernel.length, size - from)
  sum[0] = 0
  sum[1] = 0
  addRun(sum, table, kernel.at, samples, from, first)
  if (first < kernel.length) addRun(sum, table, kernel.at + first, samples, 0, kernel.length - first)
}

/**
 * Reads a response at the grid frequencies through windows centred at one lag.
 *
 * @param options.centreS lag of the windows' centre, s; each level uses its nearest sample, and the phase is told from
 * `zeroS` all the same
 * @param options.zeroS lag that counts as no delay, s
 */
export const readGrid = (options: {
  kernels: GridKernels
  levels: readonly ResponseLevel[]
  centreS: number
  zeroS: number
}): ComplexArray => {
  const { kernels, levels, centreS, zeroS } = options
  const count = kernels.kernels.length
  const result = { re: new Float64Array(count), im: new Float64Array(count) }
  const sum = new Float64Array(2)
  for (let index = 0; index < count; index++) {
    const kernel = kernels.kernels[index]
    const { rateHz, samples } = levels[kernel.level]
    const centre = Math.round(centreS * rateHz)
    dot(sum, kernel, kernels.table, samples, centre)
    const angle = 2 * Math.PI * gridFrequenciesHz[index] * (zeroS - centre / rateHz)
    const c = Math.cos(angle)
    const s = Math.sin(angle)
    result.re[index] = sum[0] * c - sum[1] * s
    result.im[index] = sum[0] * s + sum[1] * c
  }
  return result
}
