import { BoardwrightError } from '../../model/error.ts'
import { SweepSettings } from '../../model/sweep.ts'
import { findHum, humAmplitude } from '../hum/find-hum.ts'
import type { SweepSignal } from '../sweep/sweep-signal.ts'

/** Shorter than this, 50 and 60 Hz are not told apart from noise, s. */
const shortestS = 1.5

/**
 * Mains hum of an input while nothing is played: all multiples of 50 or of 60 Hz that stand out of the noise.
 *
 * @param options.samples full scale = 1; 1.5 s or more, better 3 s
 * @returns level of all of them together, dBFS; null for both when there is none. Errors: bad-argument.
 */
export function inputHum(options: { samples: Float64Array; rateHz: number }): {
  mainsHz: 50 | 60 | null
  levelDbfs: number | null
} {
  const { samples, rateHz } = options
  if (samples.length < shortestS * rateHz)
    throw new BoardwrightError('bad-argument', 'The recording of the silence is too short to hear hum in it.')
  const hum = findHum({ samples, sweep: nothingPlayed(samples.length, rateHz), offsetSamples: 0 })
  return hum
    ? { mainsHz: hum.mainsHz, levelDbfs: 20 * Math.log10(humAmplitude(hum)) }
    : { mainsHz: null, levelDbfs: null }
}

/** A stimulus that leaves every moment to the hum. */
const nothingPlayed = (length: number, rateHz: number): SweepSignal => ({
  samples: new Float64Array(length),
  rateHz,
  settings: SweepSettings.parse({ rateHz }),
  bodies: [],
  markers: [],
  runInS: 0,
  runOutS: 0,
  rateS: null,
})
