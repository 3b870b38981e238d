import { gridFrequenciesHz } from '../curve/grid.ts'
import { minimumPhase } from '../curve/minimum-phase.ts'
import type { PhaseTrack } from './phase-track.ts'

/** Amplitudes further than this under the greatest are noise as often as signal, and are held, dB. */
const depthDb = 60

/**
 * The phases of a track without the part that belongs to its amplitudes when the response is minimum-phase: a flat line
 * for nearly every sound recording, whatever its resonances and filters; a break in it is no work of a circuit.
 * @returns rad per block
 */
export function excessPhase(track: PhaseTrack): Float64Array {
  const { frequencyHz, amplitude, phaseRad } = track
  if (frequencyHz.length < 2) return phaseRad.slice()
  const floor = amplitude.reduce((a, b) => Math.max(a, b), Number.MIN_VALUE) * 10 ** (-depthDb / 20)
  const logAmplitude = amplitude.map((a) => Math.log(Math.max(a, floor)))
  const onGrid = interpolate(frequencyHz, logAmplitude, gridFrequenciesHz)
  const expected = interpolate(gridFrequenciesHz, minimumPhase(onGrid), frequencyHz)
  return phaseRad.map((p, k) => p - expected[k])
}

/** Values at other rising frequencies, linear over the logarithm of frequency; the ends are held. */
function interpolate(from: ArrayLike<number>, values: Float64Array, at: ArrayLike<number>): Float64Array {
  const out = new Float64Array(at.length)
  let k = 0
  for (let i = 0; i < at.length; i++) {
    while (k < from.length - 2 && from[k + 1] < at[i]) k++
    const share = Math.log(at[i] / from[k]) / Math.log(from[k + 1] / from[k])
    out[i] = values[k] + (values[k + 1] - values[k]) * Math.min(1, Math.max(0, share))
  }
  return out
}
