import type { ControlPositions } from '../model/circuit.ts'
import type { ResponseCurve } from '../model/response-curve.ts'
import { delayBetween, unwrap } from './phase.ts'
import type { Prediction, Tap } from './predict.ts'
import { noiseOf, thin } from './smooth.ts'

/** What one sweep says, thinned: ln gain and phase (rad, pure delay mostly gone) with their standard uncertainties. */
export type Reading = {
  setting: string
  tap: Tap
  /** True when the reference board's curve was taken out. */
  against: boolean
  gain: Float64Array
  phase: Float64Array
  /** Response that counts as nothing, V/V: stray paths, and the noise of the recording. */
  floor: Float64Array
  gainSigma: Float64Array
  phaseSigma: Float64Array
}

export const dbPerNeper = 20 / Math.LN10
const radPerDeg = Math.PI / 180

/** No twin is better than this: standard deviation of its own error beside a real board, nepers and radians. */
const twinError = 0.015 / dbPerNeper
const twinPhaseError = 0.1 * radPerDeg
/** Against a reference the twin's errors that depend on the fault stay, and are less well known: so many times that. */
const besideFactor = 2.5
/** Response below which a real board is ruled by stray paths that no circuit shows, beside its largest, dB. */
const strayDb = -90
/** How well the floor itself is known, nepers. */
const floorSigma = 1
/** A point as uncertain as this shows the noise, not the board, nepers. */
const noisyNepers = 0.3

export type ReadingOptions = {
  setting: string
  positions: ControlPositions
  node: string | null
  curve: ResponseCurve
  /** The reference board at the same setting. */
  reference?: ResponseCurve
  /** The healthy twin at a tap. */
  healthy: (tap: Tap) => Prediction
}

/**
 * Makes a reading from a measured curve. With a reference the reading is what the twin would show if it differed from the
 * healthy twin as the board differs from the reference: so errors that both share are gone.
 */
export const makeReading = (options: ReadingOptions): Reading => {
  const { setting, positions, node, curve, reference, healthy } = options
  const { gain, phase, uncertainty } = rawOf(curve, reference)
  const thinGain = thin(gain)
  removeDelay(phase, uncertainty, options)
  const thinPhase = thin(phase)
  const omega = Float64Array.from(thinGain.index, (i) => 2 * Math.PI * curve.frequencyHz[i])
  const tap: Tap = { positions, node, omega }
  const design = healthy(tap)
  const least = 10 ** (strayDb / 20) * largest(design)
  const sigmas = (noise: number, twin: number, thinned: ReturnType<typeof thin>, raw: Float64Array) =>
    Float64Array.from(thinned.index, (i, k) => {
      const own = Math.max(noise, uncertainty[i])
      // Where the parabola does not follow the curve, what is left over counts as uncertainty.
      const bend = Math.max(0, Math.abs(thinned.value[k] - raw[i]) - 3 * own)
      return Math.sqrt(own * own * thinned.variance[k] + twin * twin + bend * bend)
    })
  const trust = reference ? besideFactor : 1
  const gainSigma = sigmas(noiseOf(gain), trust * twinError, thinGain, gain)
  const phaseSigma = sigmas(noiseOf(phase), trust * twinPhaseError, thinPhase, phase)
  if (reference)
    for (let k = 0; k < omega.length; k++) {
      thinGain.value[k] += logGain(design, k)
      thinPhase.value[k] += Math.atan2(design.im[k], design.re[k])
    }
  const floor = thinGain.value.map((g, k) => {
    const noise = uncertainty[thinGain.index[k]]
    return noise > noisyNepers ? Math.max(least, noise * Math.exp(g)) : least
  })
  admitFloor(thinGain.value, floor, gainSigma, phaseSigma)
  return {
    setting,
    tap,
    against: reference !== undefined,
    gain: thinGain.value,
    phase: thinPhase.value,
    floor,
    gainSigma,
    phaseSigma,
  }
}

/** ln of a response that the floor is added to, in power: below the floor every response is alike. */
export const flooredGain = (power: number, floor: number): number => 0.5 * Math.log(power + floor * floor)

const admitFloor = (gain: Float64Array, floor: Float64Array, gainSigma: Float64Array, phaseSigma: Float64Array) => {
  gain.forEach((g, k) => {
    const power = Math.exp(2 * g)
    const share = floor[k] ** 2 / (power + floor[k] ** 2)
    gain[k] = flooredGain(power, floor[k])
    gainSigma[k] = Math.hypot(gainSigma[k] * (1 - share), floorSigma * Math.sqrt(share))
    phaseSigma[k] = Math.hypot(phaseSigma[k], floor[k] / Math.sqrt(power))
  })
}

const logGain = ({ re, im }: Prediction, k: number): number => 0.5 * Math.log(re[k] ** 2 + im[k] ** 2)

const largest = ({ re, im }: Prediction): number => re.reduce((most, x, i) => Math.max(most, Math.hypot(x, im[i])), 0)

const rawOf = (curve: ResponseCurve, reference?: ResponseCurve) => {
  const gain = Float64Array.from(curve.gainDb, (x) => x / dbPerNeper)
  const phase = Float64Array.from(curve.phaseDeg, (x) => x * radPerDeg)
  const uncertainty = Float64Array.from(curve.uncertaintyDb, (x) => x / dbPerNeper)
  if (reference)
    curve.frequencyHz.forEach((hz, i) => {
      const { at, share } = placeOn(reference.frequencyHz, hz)
      const read = (values: readonly number[]) =>
        values[at] + share * (values[Math.min(at + 1, values.length - 1)] - values[at])
      gain[i] -= read(reference.gainDb) / dbPerNeper
      phase[i] -= read(reference.phaseDeg) * radPerDeg
      uncertainty[i] = Math.hypot(uncertainty[i], read(reference.uncertaintyDb) / dbPerNeper)
    })
  return { gain, phase, uncertainty }
}

/** Where a frequency lies on a rising grid; beyond its ends the end is taken. */
const placeOn = (grid: readonly number[], hz: number): { at: number; share: number } => {
  if (hz <= grid[0]) return { at: 0, share: 0 }
  const last = grid.length - 1
  if (hz >= grid[last]) return { at: last, share: 0 }
  let [low, high] = [0, last]
  while (high - low > 1) {
    const middle = (low + high) >> 1
    if (grid[middle] <= hz) low = middle
    else high = middle
  }
  return { at: low, share: Math.log(hz / grid[low]) / Math.log(grid[low + 1] / grid[low]) }
}

/** A delay up to this is left to the fit, s: a fault turns the phase as much. */
const fittedDelayS = 1.5e-4

/** Takes a large delay out of the phase of a curve, as its slope against the healthy twin (and the reference) tells it. */
const removeDelay = (phase: Float64Array, uncertainty: Float64Array, options: ReadingOptions) => {
  const { curve, positions, node, healthy, reference } = options
  const omega = Float64Array.from(curve.frequencyHz, (f) => 2 * Math.PI * f)
  // Against a reference the phase is already that between two boards.
  const ahead = reference ? { re: omega.map(() => 1), im: omega.map(() => 0) } : healthy({ positions, node, omega })
  const delayS = delayBetween(omega, phase, uncertainty, ahead)
  if (Math.abs(delayS) >= fittedDelayS) for (let i = 0; i < phase.length; i++) phase[i] += delayS * omega[i]
  // The parabolas of the thinning must not run through a jump of whole turns.
  unwrap(phase)
}
