import { solveSymmetric } from '../transform/solve-symmetric.ts'
import type { HumAmplitude } from './hum-amplitude.ts'
import { blockNoiseShare } from './hum-line.ts'
import { type MainsPhase, phaseGradient } from './mains-phase.ts'

/** Rests are looked at in stretches of about this length: as long as the response is read through at low frequencies, s. */
const stretchS = 0.5

/** A resonance that rings on falls by at least this from block to block, and its blocks count less than this in the fit. */
const ringFall = 0.84
const ringWeight = 0.5

/** The first block from `from` on that is no ringing of the board behind the sweep. */
const afterRinging = ({ restRe, restIm, weight }: HumAmplitude, from: number): number => {
  const size = (m: number) => Math.hypot(restRe[m], restIm[m])
  let m = from
  while (m + 1 < weight.length && weight[m] < ringWeight && size(m + 1) < ringFall * size(m)) m++
  return m
}

interface Stretch {
  atS: number
  power: number
  /** Mean square that noise alone would leave, over that of one block. */
  noiseShare: number
}

/**
 * Mean rest of each stretch, squared: every block counts alike, for a change of the hum is not to be set aside. A stretch
 * ends where the sweep is in between, and the next one begins where the board rings no more.
 */
const stretchesOf = (one: HumAmplitude, stepS: number): Stretch[] => {
  const { restRe, restIm, line } = one
  const perStretch = Math.max(1, Math.round(stretchS / stepS))
  const { atS } = line
  const stretches: Stretch[] = []
  for (let from = 0, to = 0; from < atS.length; from = to) {
    if (from > 0 && atS[from] - atS[from - 1] > 1.5 * stepS) from = to = afterRinging(one, from)
    let re = 0
    let im = 0
    do {
      re += restRe[to]
      im += restIm[to++]
    } while (to < atS.length && to - from < perStretch && atS[to] - atS[to - 1] < 1.5 * stepS)
    const count = to - from
    const power = (re * re + im * im) / (count * count)
    stretches.push({ atS: 0.5 * (atS[from] + atS[to - 1]), power, noiseShare: Math.min(1, blockNoiseShare / count) })
  }
  return stretches
}

/** Mean square of one block's noise from the differences of blocks that do not overlap: slow unrest is not in it. */
const fastNoise = ({ restRe, restIm, weight }: HumAmplitude): number => {
  const apart = 4
  let sum = 0
  let total = 0
  for (let m = apart; m < restRe.length; m++) {
    const share = weight[m] * weight[m - apart]
    sum += 0.5 * share * ((restRe[m] - restRe[m - apart]) ** 2 + (restIm[m] - restIm[m - apart]) ** 2)
    total += share
  }
  return total > 0 ? sum / total : Number.POSITIVE_INFINITY
}

/**
 * Mean square by which the hum strays from the fit near a moment, beyond what noise would: its level changes, or the mains
 * runs less smoothly than it was taken to. Where no block was read it may stray further, with the square of the distance.
 */
const unrestAt = (one: HumAmplitude, stepS: number, atS: number): number => {
  const stretches = stretchesOf(one, stepS)
  if (stretches.length < 2) return 0
  const blockNoise = Math.min(fastNoise(one), one.blockNoise)
  const beyond = (some: readonly Stretch[], times: number) =>
    some.reduce((sum, { power, noiseShare }) => sum + power - times * noiseShare * blockNoise, 0) / some.length
  const near = [...stretches].sort((a, b) => Math.abs(a.atS - atS) - Math.abs(b.atS - atS)).slice(0, 2)
  const nearestS = one.line.atS.reduce((least, blockS) => Math.min(least, Math.abs(blockS - atS)), Infinity)
  const further = 1 + (nearestS / (stretchS / 2)) ** 2
  return further * Math.max(0, beyond(stretches, 1), beyond(near, 3))
}

/**
 * Mean square error with which one line of the hum is known at a moment, full scale = 1.
 *
 * @param options.information of the deviations at the knots, 1/Hz^2
 * @param options.stepS from block to block
 */
export const humErrorAt = (options: {
  amplitude: HumAmplitude
  mains: MainsPhase
  information: Float64Array
  atS: number
  stepS: number
}): number => {
  const { amplitude, mains, information, atS, stepS } = options
  const { line, weight } = amplitude
  const gradient = phaseGradient(mains, atS)
  const total = weight.reduce((a, b) => a + b, 0)
  line.atS.forEach((blockS, m) => {
    const g = phaseGradient(mains, blockS)
    for (let j = 0; j < g.length; j++) gradient[j] -= (weight[m] * g[j]) / total
  })
  const variance = solveSymmetric(information, gradient).reduce((sum, value, j) => sum + value * gradient[j], 0)
  const power = amplitude.re ** 2 + amplitude.im ** 2
  return amplitude.variance + power * line.order ** 2 * variance + unrestAt(amplitude, stepS, atS)
}
