import type { Hum } from '../hum/find-hum.ts'
import { humNoise } from '../hum/hum-noise.ts'
import type { ImpulseResponse } from '../recording/recording-view.ts'
import { chooseWindow } from './choose-window.ts'
import type { ComplexArray } from './complex-grid.ts'
import { divideGrid, powerOfGrid } from './complex-grid.ts'
import { cutImpulse } from './cut-impulse.ts'
import { deconvolve, type ResponseLevel } from './deconvolve.ts'
import { readGrid } from './grid-kernels.ts'
import { findPureDelay } from './pure-delay.ts'
import { readNoise } from './read-noise.ts'
import { harmonicOrders, type PlannedReading, type ResponsePlan } from './response-plan.ts'
import { whiteNoise } from './white-noise.ts'

/** What one body of the stimulus gave. All arrays are on the measuring grid. */
export interface BodyResponse {
  impulse: ImpulseResponse
  /** Linear response, phase told from the start of the stretch. */
  response: ComplexArray
  /** Mean |noise|^2 of `response`, what is left of a hum included. */
  noisePower: Float64Array
  /** What is left of a hum, alone. */
  humPower: Float64Array
  delayS: number
  polarity: 1 | -1
  /** Lag of the impulse, to the nearest sample: the harmonics' phases count from theirs, L ln k before it. */
  peakS: number
  /**
   * Per order: the harmonic at its own frequency over the stimulus amplitude, |amplitude|^2, and its noise.
   */
  harmonics: Map<number, { response: ComplexArray; power: Float64Array; noisePower: Float64Array }>
}

/** The impulse is looked for this far around lag 0, s. */
const peakSearchS = 0.05

const findPeak = (level: ResponseLevel): number => {
  const { samples, rateHz } = level
  const reach = Math.min(Math.round(peakSearchS * rateHz), samples.length / 4)
  let best = 0
  let most = -1
  for (let lag = -reach; lag <= reach; lag++) {
    const size = Math.abs(samples[lag < 0 ? lag + samples.length : lag])
    if (size > most) {
      most = size
      best = lag
    }
  }
  return best / rateHz
}

const readHarmonics = (
  plan: ResponsePlan,
  levels: readonly ResponseLevel[],
  centreS: number,
  noise: Float64Array,
): BodyResponse['harmonics'] => {
  const harmonics: BodyResponse['harmonics'] = new Map()
  const { rateS } = plan.sweep
  if (rateS === null) return harmonics
  for (const order of harmonicOrders) {
    const planned = plan.harmonics.get(order)!
    const lagS = centreS - rateS * Math.log(order)
    const read = readGrid({ kernels: planned.kernels, levels, centreS: lagS, zeroS: lagS })
    const response = divideGrid(read, planned.ofStimulus)
    harmonics.set(order, { response, power: powerOfGrid(response), noisePower: noiseOf(planned, noise) })
  }
  return harmonics
}

/** Noise power behind one kind of window, from the noise per second of width. */
const noiseOf = (planned: PlannedReading, noise: Float64Array): Float64Array =>
  noise.map((perS, i) => perS * planned.kernels.noiseWidthS[i])

/**
 * Measures one body of the stimulus.
 *
 * @param options.fromSample where the body begins in `samples`, to the nearest few samples
 * @param options.toSample where the next sound begins, or the end
 * @param options.hum the hum that was taken out of `samples`, if any
 */
export const readBody = (options: {
  plan: ResponsePlan
  samples: Float64Array
  fromSample: number
  toSample: number
  hum: Hum | null
}): BodyResponse => {
  const { plan, samples, fromSample, toSample, hum } = options
  const { filter } = plan
  const levels = deconvolve({ filter, samples, fromSample, toSample })
  const peakS = findPeak(levels[0])
  const stretchS = (toSample - fromSample) / filter.rateHz
  const plainNoise = readNoise({ plan, levels, stretchS }) ?? whiteNoise({ plan, samples, fromSample, toSample })
  const left = hum ? humNoise(plan, hum) : new Float64Array(plainNoise.length)
  const noise = plainNoise.map((value, i) => value + left[i])
  const read = (planned: PlannedReading) =>
    divideGrid(readGrid({ kernels: planned.kernels, levels, centreS: peakS, zeroS: 0 }), planned.ofStimulus)
  const { response, noisePower } = chooseWindow({
    long: read(plan.long),
    short: read(plan.short),
    longPlan: plan.long,
    shortPlan: plan.short,
    noise,
  })
  const { delayS, polarity } = findPureDelay({ response, nearS: peakS, noisePower })
  const harmonics = readHarmonics(plan, levels, peakS, noise)
  // The levels live in arrays that the next body uses again: whatever is to stay is taken out here.
  const impulse = cutImpulse({ level: levels[0], rateS: plan.sweep.rateS, delayS, noise })
  const humPower = noisePower.map((power, i) => (left[i] > 0 ? (power * left[i]) / noise[i] : 0))
  return { impulse, response, noisePower, humPower, delayS, polarity, peakS, harmonics }
}
