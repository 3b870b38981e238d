import { blockNoiseShare, type HumLine } from './hum-line.ts'
import { type MainsPhase, phaseAt } from './mains-phase.ts'

/** One line of the hum, fitted to its blocks. */
export interface HumAmplitude {
  line: HumLine
  /** Complex amplitude: full scale = 1, phase of a cosine at the start of the recording. */
  re: number
  im: number
  /** How far each block counts: one that something else stands in counts little. */
  weight: Float64Array
  /** Each block without the mains' turning on, minus the amplitude. */
  restRe: Float64Array
  restIm: Float64Array
  /** Mean square of one block's rest, without what stands out. */
  blockNoise: number
  /** Mean square error of the amplitude that this noise leaves. */
  variance: number
  /** Minus the logarithm of the probability that noise alone looks like this. */
  evidence: number
}

const passes = 8
/** Blocks this many times the middle distance away count half. */
const outlying = 9

const middleOf = (values: Float64Array): number => values.slice().sort()[values.length >> 1]

/** Fits a constant amplitude to the blocks of a line, given how the mains runs. Source: iterated weights (Cauchy's). */
export const fitAmplitude = (line: HumLine, mains: MainsPhase): HumAmplitude => {
  const count = line.atS.length
  const turnedRe = new Float64Array(count)
  const turnedIm = new Float64Array(count)
  line.atS.forEach((atS, m) => {
    const angle = line.order * phaseAt(mains, atS)
    const c = Math.cos(angle)
    const s = Math.sin(angle)
    turnedRe[m] = line.re[m] * c + line.im[m] * s
    turnedIm[m] = line.im[m] * c - line.re[m] * s
  })
  const weight = new Float64Array(count).fill(1)
  const square = new Float64Array(count)
  const restRe = new Float64Array(count)
  const restIm = new Float64Array(count)
  let re = 0
  let im = 0
  let total = 0
  for (let pass = 0; pass < passes; pass++) {
    re = 0
    im = 0
    total = 0
    for (let m = 0; m < count; m++) {
      re += weight[m] * turnedRe[m]
      im += weight[m] * turnedIm[m]
      total += weight[m]
    }
    re /= total
    im /= total
    for (let m = 0; m < count; m++) {
      restRe[m] = turnedRe[m] - re
      restIm[m] = turnedIm[m] - im
      square[m] = restRe[m] ** 2 + restIm[m] ** 2
    }
    if (pass === passes - 1) break
    const middle = middleOf(square)
    for (let m = 0; m < count; m++) weight[m] = 1 / (1 + square[m] / (outlying * middle + Number.MIN_VALUE))
  }
  const sum = (of: (m: number) => number) => weight.reduce((all, _, m) => all + of(m), 0)
  const independent = total / blockNoiseShare
  // One amplitude was fitted, so that much of the rest is gone.
  const freedom = Math.max(0.1, independent - 1)
  const blockNoise = (sum((m) => weight[m] * square[m]) / total) * (independent / freedom)
  const variance = blockNoise / independent
  const power = re * re + im * im
  return {
    line,
    re,
    im,
    weight,
    restRe,
    restIm,
    blockNoise,
    variance,
    // F distribution with 2 and 2 freedom degrees, closed form.
    evidence: freedom * Math.log1p(power / (variance * freedom + Number.MIN_VALUE)),
  }
}
