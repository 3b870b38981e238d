import type { ComplexArray } from './complex-grid.ts'
import { advanceGrid, powerOfGrid } from './complex-grid.ts'
import { gridFrequenciesHz } from './grid.ts'
import { minimumPhase } from './minimum-phase.ts'

const turn = 2 * Math.PI
const fitFromHz = 200
const fitToHz = 8000

/** Slope and value at 0 Hz of a weighted straight line. */
const fitLine = (x: readonly number[], y: Float64Array, weight: Float64Array) => {
  let w = 0
  let wx = 0
  let wy = 0
  for (let i = 0; i < x.length; i++) {
    w += weight[i]
    wx += weight[i] * x[i]
    wy += weight[i] * y[i]
  }
  let wxx = 0
  let wxy = 0
  for (let i = 0; i < x.length; i++) {
    wxx += weight[i] * (x[i] - wx / w) ** 2
    wxy += weight[i] * (x[i] - wx / w) * (y[i] - wy / w)
  }
  const slope = wxx > 0 ? wxy / wxx : 0
  return { slope, atZero: w > 0 ? (wy - slope * wx) / w : 0 }
}

/** Excess phase (rad) beyond the minimum phase, unwrapped from the strongest point outwards. */
const excessPhase = (response: ComplexArray, minimum: Float64Array, start: number): Float64Array => {
  const count = minimum.length
  const excess = new Float64Array(count)
  const raw = (i: number) => Math.atan2(response.im[i], response.re[i]) - minimum[i]
  const near = (value: number, target: number) => value - turn * Math.round((value - target) / turn)
  excess[start] = near(raw(start), 0)
  for (let i = start + 1; i < count; i++) excess[i] = near(raw(i), excess[i - 1])
  for (let i = start - 1; i >= 0; i--) excess[i] = near(raw(i), excess[i + 1])
  return excess
}

/**
 * The pure delay of a response and its sign. What remains of the phase after the minimum phase that belongs to the gain
 * is, for a board, a delay and perhaps a turn of 180 degrees; a straight line through it tells both. So a treble control
 * does not move the delay, and the phase that is left can be laid beside the circuit's.
 *
 * @param options.response on the measuring grid, phase told from lag 0
 * @param options.nearS a delay near the true one: the lag of the impulse's peak, s
 * @param options.noisePower |noise|^2 per point: points in the noise do not count
 */
export const findPureDelay = (options: {
  response: ComplexArray
  nearS: number
  noisePower: Float64Array
}): { delayS: number; polarity: 1 | -1 } => {
  const { response, noisePower } = options
  const power = powerOfGrid(response)
  const minimum = minimumPhase(power.map((p) => 0.5 * Math.log(Math.max(p, Number.MIN_VALUE))))
  const weight = gridFrequenciesHz.map((f, i) => {
    const usable = f >= fitFromHz && f <= fitToHz ? 1 : 1e-6
    return (usable * power[i]) / (power[i] + 1e4 * noisePower[i])
  })
  const weights = Float64Array.from(weight)
  const start = weights.reduce((best, value, i) => (value > weights[best] ? i : best), 0)
  let delayS = options.nearS
  let atZero = 0
  // A second pass unwraps again with the better delay: the first may be a fraction of a millisecond off.
  for (let pass = 0; pass < 3; pass++) {
    const excess = excessPhase(advanceGrid(response, gridFrequenciesHz, delayS), minimum, start)
    const line = fitLine(gridFrequenciesHz, excess, weights)
    delayS -= line.slope / turn
    atZero = line.atZero
  }
  return { delayS, polarity: Math.cos(atZero) < 0 ? -1 : 1 }
}
