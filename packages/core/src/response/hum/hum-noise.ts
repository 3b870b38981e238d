import type { ResponseCurve } from '../../model/response-curve.ts'
import { mustBeCertain } from '../curve/curve-on-grid.ts'
import { gridFrequenciesHz } from '../curve/grid.ts'
import type { ResponsePlan } from '../curve/response-plan.ts'
import type { Hum } from './find-hum.ts'

/** Beyond this many reciprocal widths of a window a tone does not come through it. */
const reachWidths = 4

/** |sum of kernel times a tone of amplitude 1|^2, the tone at any phase; the negative half of it is far away. */
const toneThrough = (plan: ResponsePlan, index: number, frequencyHz: number): number => {
  const { kernels, table, rateHz } = plan.long.kernels
  const { level, at, length } = kernels[index]
  const turn = (2 * Math.PI * frequencyHz * 4 ** level) / rateHz
  let re = 0
  let im = 0
  for (let i = 0; i < length; i++) {
    const c = Math.cos(turn * i)
    const s = Math.sin(turn * i)
    re += table.re[at + i] * c - table.im[at + i] * s
    im += table.re[at + i] * s + table.im[at + i] * c
  }
  // A level's samples are as many times larger as they are fewer.
  return (0.5 * 4 ** level) ** 2 * (re * re + im * im)
}

/**
 * What the errors of a subtracted hum do to the response, in the form of `readNoise`: |noise|^2 per second of window width,
 * per grid point. It is told for the long window, through which a steady tone comes strongest.
 */
export const humNoise = (plan: ResponsePlan, hum: Hum): Float64Array => {
  const noise = new Float64Array(gridFrequenciesHz.length)
  const { filter } = plan
  const widthS = plan.long.kernels.noiseWidthS
  for (const { frequencyHz, error } of hum.components) {
    const bin = Math.round((frequencyHz * filter.size) / filter.rateHz)
    const power = error ** 2 * (filter.bins[2 * bin] ** 2 + filter.bins[2 * bin + 1] ** 2)
    gridFrequenciesHz.forEach((f, i) => {
      if (Math.abs(f - frequencyHz) * widthS[i] > reachWidths) return
      noise[i] += (power * toneThrough(plan, i, frequencyHz)) / widthS[i]
    })
  }
  return noise
}

/**
 * The largest standard uncertainty that is left of a hum in a curve, dB, among the points that must be certain.
 *
 * @param options.relativeHum mean |error / response|^2 on the measuring grid
 */
export const humLeftDb = (options: { relativeHum: Float64Array; curve: ResponseCurve }): number => {
  const { relativeHum, curve } = options
  const first = gridFrequenciesHz.indexOf(curve.frequencyHz[0])
  const certain = mustBeCertain(curve.gainDb)
  // Half of the power lies along the response and changes its magnitude.
  return certain.reduce((most, counts, i) => {
    return counts ? Math.max(most, (20 / Math.LN10) * Math.sqrt(relativeHum[first + i] / 2)) : most
  }, 0)
}
