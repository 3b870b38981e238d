import { BoardwrightError } from '../../model/error.ts'
import { spanNoise } from '../curve/noise.ts'

/** Shorter than this, hum and rumble make the number a matter of luck, s. */
const shortestS = 0.5
/** What is read for digital silence, dB. */
const lowestDbfs = -200

/**
 * Noise of an input while nothing is played, without DC.
 *
 * @param options.samples full scale = 1; 0.5 s or more
 * @returns dB, a full-scale sine reading 0 dB
 * Source: AES17 (full-scale sine = 0 dBFS), IEC 61672-1 (A-weighting). Errors: bad-argument.
 */
export function inputNoise(options: { samples: Float64Array; rateHz: number }): {
  unweightedDbfs: number
  aWeightedDbfs: number
} {
  const { samples, rateHz } = options
  if (samples.length < shortestS * rateHz)
    throw new BoardwrightError('bad-argument', 'The recording of the silence is too short to read its noise.')
  return spanNoise({ samples, rateHz })
}

/** Level of the loudest sample, dB of full scale. */
export function loudestDbfs(samples: Float64Array): number {
  let peak = 0
  for (const value of samples) peak = Math.max(peak, Math.abs(value))
  return Math.max(lowestDbfs, 20 * Math.log10(peak))
}
