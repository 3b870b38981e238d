import type { Finding } from '../../model/finding.ts'
import type { HardSweep } from '../../model/hard-signature.ts'
import type { BodyResponse } from '../curve/body-response.ts'
import { type ComplexArray, powerOfGrid } from '../curve/complex-grid.ts'
import { between } from '../curve/distortion.ts'
import { gridFrequenciesHz } from '../curve/grid.ts'
import { measureBodies } from '../curve/measure-bodies.ts'
import { harmonicOrders } from '../curve/response-plan.ts'
import { removeHum } from '../hum/remove-hum.ts'
import { recordingFinding } from '../recording/recording-finding.ts'
import { findSweep } from '../sweep/find-sweep.ts'
import type { SweepSignal } from '../sweep/sweep-signal.ts'
import { wrapDeg } from './tone-harmonics.ts'

/** Under this score nothing in the recording is the sweep. */
const leastScore = 0.02
const fullScale = 1 - 1.5 / 32768
const leastAtFullScale = 3

export interface HardSweepReading {
  findings: Finding[]
  sweep: HardSweep | null
}

const round = (value: number): number => Math.round(value * 1e4) / 1e4
const decibels = (power: number): number => Math.max(-200, 10 * Math.log10(Math.max(power, 1e-300)))

/**
 * Reads the loud sweep: gain, and each harmonic's level and turn against the fundamental over the fundamental's frequency.
 * The recording checks of a test run do not serve here: a board that clips is what is looked for.
 *
 * @param options.samples the response channel, full scale = 1
 * @param options.levelV peak of the sweep at the board's input, V
 * @param options.gainOffsetDb added to the gain: makes recorded over played volts over volts
 * Source: A. Farina, AES preprint 5093 (2000); phases by the synchronised sweep of Novak, Lotton, Simon, J. Audio Eng. Soc.
 * 63(10), 2015: the harmonic of order k is sin(k phase) advanced by nothing but the board.
 */
export function readHardSweep(options: {
  sweep: SweepSignal
  samples: Float64Array
  rateHz: number
  levelV: number
  gainOffsetDb: number
}): HardSweepReading {
  const { sweep, samples, rateHz } = options
  const refuse = (code: Finding['code'], message: string): HardSweepReading => ({
    findings: [recordingFinding({ code, severity: 'refuse', message })],
    sweep: null,
  })
  if (rateHz !== sweep.rateHz)
    return refuse('wrong-rate', `The sweep was played at ${sweep.rateHz} Hz, the recording has ${rateHz} Hz.`)
  const alignment = findSweep({ sweep, recording: samples })
  if (!alignment) return refuse('silent', 'The recording of the loud sweep is silent.')
  if (alignment.score < leastScore) return refuse('sweep-not-found', 'The loud sweep is nowhere in the recording.')
  const body = sweep.bodies[0]
  const { offsetSamples } = alignment
  if (offsetSamples + body.startSample < 0 || offsetSamples + body.endSample > samples.length)
    return refuse('cut-off', 'The recording does not hold the whole loud sweep.')
  if (clips(samples)) return refuse('clipped', "The recorder clips, so the board's own clipping cannot be seen.")
  const response = removeHum({ samples, sweep, offsetSamples })
  const bodies = measureBodies({ sweep, response, loopBack: null, alignment })
  if (!bodies) return refuse('cut-off', 'The recording does not hold the whole loud sweep.')
  return { findings: [], sweep: signatureOf(bodies.first, sweep, options) }
}

function clips(samples: Float64Array): boolean {
  let count = 0
  let peak = 0
  for (const value of samples) {
    const size = Math.abs(value)
    if (size >= fullScale) count++
    if (size > peak) peak = size
  }
  return peak <= 1 && count >= leastAtFullScale
}

function signatureOf(
  body: BodyResponse,
  { settings }: SweepSignal,
  { levelV, gainOffsetDb }: { levelV: number; gainOffsetDb: number },
): HardSweep {
  const endHz = Math.min(settings.toHz, gridFrequenciesHz[gridFrequenciesHz.length - 1]) * 1.0001
  const points = [...gridFrequenciesHz.keys()].filter(
    (i) => gridFrequenciesHz[i] >= settings.fromHz * 0.9975 && 2 * gridFrequenciesHz[i] <= endHz,
  )
  const fundamental = powerOfGrid(body.response)
  const fundamentalDeg = points.map((i) => degOf(body.response, i) + 360 * gridFrequenciesHz[i] * body.peakS)
  const sums = points.map(() => 0)
  const harmonics = harmonicOrders.map((order) => {
    const { response, power, noisePower } = body.harmonics.get(order)!
    const logPower = power.map(decibels)
    const inside = points.map((i) => order * gridFrequenciesHz[i] <= endHz)
    const levelOf = (values: Float64Array, at: number) =>
      between(values, order * gridFrequenciesHz[points[at]]) - decibels(fundamental[points[at]])
    const logNoise = noisePower.map(decibels)
    inside.forEach((is, at) => {
      const net = is ? between(power, order * gridFrequenciesHz[points[at]]) : 0
      const noise = is ? between(noisePower, order * gridFrequenciesHz[points[at]]) : 0
      if (net > 2 * noise) sums[at] += net - noise
    })
    return {
      order,
      levelDb: inside.map((is, at) => (is ? round(levelOf(logPower, at)) : null)),
      noiseDb: inside.map((is, at) => (is ? round(levelOf(logNoise, at)) : null)),
      phaseDeg: inside.map((is, at) => (is ? round(turnOf(response, order, points[at], fundamentalDeg[at])) : null)),
    }
  })
  return {
    levelV,
    frequencyHz: points.map((i) => gridFrequenciesHz[i]),
    gainDb: points.map((i) => round(decibels(fundamental[i]) + gainOffsetDb)),
    thdPercent: points.map((i, at) => round(100 * Math.sqrt(sums[at] / Math.max(fundamental[i], 1e-300)))),
    harmonics,
  }
}

const degOf = ({ re, im }: ComplexArray, i: number): number => (Math.atan2(im[i], re[i]) * 180) / Math.PI

/**
 * Turn of a harmonic, counted from the crest of the fundamental. The played phase p is that of a sine; the crest stands a
 * quarter turn later, which is k quarters for order k, and the harmonic's own crest one quarter after its zero.
 */
function turnOf(response: ComplexArray, order: number, point: number, fundamentalDeg: number): number {
  const harmonicDeg = phaseBetween(response, order * gridFrequenciesHz[point])
  return wrapDeg(harmonicDeg - order * fundamentalDeg + 90 * (order - 1))
}

const stepLog = Math.log(gridFrequenciesHz[1] / gridFrequenciesHz[0])

/** Phase between grid points, degrees: along the shorter way from one to the next. */
function phaseBetween(response: ComplexArray, frequencyHz: number): number {
  const at = Math.log(frequencyHz / gridFrequenciesHz[0]) / stepLog
  const i = Math.min(gridFrequenciesHz.length - 2, Math.max(0, Math.floor(at)))
  const here = degOf(response, i)
  return here + (at - i) * wrapDeg(degOf(response, i + 1) - here)
}
