import type { HumAmplitude } from './hum-amplitude.ts'
import type { MainsPhase } from './mains-phase.ts'

/** Samples of one period of the mains: a straight line between them is true within a part in 4000 at the 30th multiple. */
const periodSize = 8192

/** One period of the mains as it is heard. */
const makePeriod = (amplitudes: readonly HumAmplitude[]): Float64Array => {
  const period = new Float64Array(periodSize + 1)
  for (const { line, re, im } of amplitudes)
    for (let i = 0; i <= periodSize; i++) {
      const angle = (2 * Math.PI * ((line.order * i) % periodSize)) / periodSize
      period[i] += re * Math.cos(angle) - im * Math.sin(angle)
    }
  return period
}

/** The recording without the hum: a new array. */
export const subtractHum = (options: {
  samples: Float64Array
  rateHz: number
  mainsHz: number
  mains: MainsPhase
  amplitudes: readonly HumAmplitude[]
}): Float64Array => {
  const { samples, rateHz, mainsHz, mains, amplitudes } = options
  const period = makePeriod(amplitudes)
  const clean = new Float64Array(samples.length)
  const { knotS, deviationHz } = mains
  const pieces = deviationHz.length - 1
  let turns = 0
  let i = 0
  for (let piece = 0; piece < pieces; piece++) {
    const end =
      piece === pieces - 1 ? samples.length : Math.min(samples.length, Math.round((piece + 1) * knotS * rateHz))
    const slope = (deviationHz[piece + 1] - deviationHz[piece]) / knotS / rateHz
    // The frequency at each sample is known, so turns are added up, half a sample of change included.
    let frequencyHz = mainsHz + deviationHz[piece] + slope * (i - piece * knotS * rateHz + 0.5)
    for (; i < end; i++) {
      const at = (turns - Math.floor(turns)) * periodSize
      const whole = at | 0
      clean[i] = samples[i] - period[whole] - (at - whole) * (period[whole + 1] - period[whole])
      turns += frequencyHz / rateHz
      frequencyHz += slope
    }
  }
  return clean
}
