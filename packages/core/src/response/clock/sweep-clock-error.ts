import { leastSquares } from '../../statistics/least-squares.ts'
import { wrapped } from '../recording/phase-step.ts'
import type { PhaseTrack } from '../recording/phase-track.ts'
import { excessPhase } from '../recording/track-phase.ts'

/** What the phase of a sweep says about the clocks. */
export interface SweepClockError {
  /** Share by which the recording is short: recorded time over played time is 1 less this. */
  share: number
  uncertainty: number
  /** Scatter of the phase about that of two clocks, and about that of one, rad. */
  restRad: number
  restWithoutRad: number
}

/** From here on few boards have a delay of their own that is not their gain's, Hz. */
const fromHz = 500
/** Blocks this far under the loudest, or known no better than this (rad), do not count. */
const loudShare = 0.05
const knownRad = 0.3
const fewestBlocks = 40
/** The sweep must be heard from low to high: the phase beside a steep slope is not known well enough. */
const heardFromHz = 1000
const heardToHz = 8000

/**
 * Reads the difference of the two clocks from the sweep alone. With a clock that runs off, the sweep comes earlier and
 * earlier: e t seconds at t = L ln(f / f1), which turns the phase by 2 pi e L f ln f; a delay turns it by something times f,
 * and the gain's own phase is taken out before.
 * @param rateS L of the sweep, s
 * @returns null where too little of the sweep is loud
 */
export function sweepClockError(track: PhaseTrack, rateS: number): SweepClockError | null {
  const loudest = track.amplitude.reduce((a, b) => Math.max(a, b), 0)
  const excess = excessPhase(track)
  const hz: number[] = []
  const rad: number[] = []
  let slope = 0
  for (let k = 0; k < excess.length; k++) {
    const f = track.frequencyHz[k]
    const counts = f >= fromHz && track.amplitude[k] > loudShare * loudest && track.phaseUncertaintyRad[k] < knownRad
    if (!counts) continue
    const n = rad.length
    const step = n > 0 ? f - hz[n - 1] : 0
    const turn = n > 0 ? wrapped(excess[k] - rad[n - 1] - slope * step) : 0
    rad.push(n > 0 ? rad[n - 1] + slope * step + turn : excess[k])
    hz.push(f)
    // The slope follows slowly: one block in the noise must not lead the next ones astray.
    if (n > 0) slope += (0.2 * turn) / step
  }
  if (hz.length < fewestBlocks || hz[0] > heardFromHz || hz[hz.length - 1] < heardToHz) return null
  const response = Float64Array.from(rad)
  const one = () => Float64Array.from(hz, () => 1)
  const delay = Float64Array.from(hz)
  const drift = Float64Array.from(hz, (f) => f * Math.log(f / fromHz))
  const rest = (residuals: Float64Array) => Math.sqrt(residuals.reduce((sum, r) => sum + r * r, 0) / residuals.length)
  const fit = leastSquares({ response, columns: [one(), delay, drift] })
  const without = leastSquares({ response, columns: [one(), delay] })
  const scale = 2 * Math.PI * rateS
  return {
    share: fit.coefficients[2] / scale,
    uncertainty: (rest(fit.residuals) * Math.sqrt(fit.variances[2])) / scale,
    restRad: rest(fit.residuals),
    restWithoutRad: rest(without.residuals),
  }
}
