import { findSlip } from './find-slip.ts'
import { type BlockPhases, blockPhases, wrapped } from './phase-step.ts'
import type { PhaseTrack } from './phase-track.ts'

/** What two repeats differ in: the board cancels out, so the limits can be tight. */
const limits = { leastSamples: 16, leastJumpRad: 0.05, delayFromHz: 400 }
/** Clocks may drift by this share between two repeats; see the check of the markers. */
const clockTolerance = 60e-6
const roundingSamples = 8
/** No bend of a response is left in a difference, only rounding, rad. */
const floorRad = 0.002
/** Blocks count where the phase is known at least this well, rad. */
const knownRad = 0.2

/**
 * Compares two repeats of the same sweep in one recording: any step between them is a slip in one of the two, and a
 * difference in delay as a whole is a slip in the gap between them.
 * @param options.distanceSamples distance at which the repeats were played
 */
export function findRepeatSlip(options: {
  first: PhaseTrack
  second: PhaseTrack
  rateHz: number
  distanceSamples: number
}): { lostSamples: number; atSample: number } | null {
  const { first, second, rateHz, distanceSamples } = options
  if (first.frequencyHz.length !== second.frequencyHz.length || first.frequencyHz.length === 0) return null
  const phases = differenceOf(first, second)
  const known = isKnown(phases)
  const slip = findSlip({ readings: [phases], isLoud: known, rateHz, limits })
  if (slip) return { lostSamples: slip.lostSamples, atSample: second.atSample[slip.block] }
  const lostSamples = wholeShift(phases, known, rateHz)
  const allowed = roundingSamples + clockTolerance * distanceSamples
  return Math.abs(lostSamples) > allowed ? { lostSamples, atSample: second.atSample[0] } : null
}

/** Samples by which the second of two repeats comes early as a whole, to a small part of a sample. */
export function repeatShift(options: { first: PhaseTrack; second: PhaseTrack; rateHz: number }): number {
  const phases = differenceOf(options.first, options.second)
  return wholeShift(phases, isKnown(phases), options.rateHz)
}

function differenceOf(first: PhaseTrack, second: PhaseTrack): BlockPhases {
  return blockPhases(
    {
      frequencyHz: first.frequencyHz,
      phaseRad: second.phaseRad.map((p, k) => wrapped(p - first.phaseRad[k])),
      uncertaintyRad: second.phaseUncertaintyRad.map((u, k) => Math.hypot(u, first.phaseUncertaintyRad[k])),
    },
    floorRad,
  )
}

const isKnown = (phases: BlockPhases) => (block: number) => phases.uncertaintyRad[block] < knownRad

/** Samples by which the second repeat comes early as a whole: weighted mean of the delay from block to block. */
function wholeShift(phases: BlockPhases, known: (block: number) => boolean, rateHz: number): number {
  let sum = 0
  let weights = 0
  for (let k = 1; k < phases.frequencyHz.length; k++) {
    if (!known(k) || !known(k - 1)) continue
    const widthHz = phases.frequencyHz[k] - phases.frequencyHz[k - 1]
    const weight = widthHz ** 2 / (phases.uncertaintyRad[k] ** 2 + phases.uncertaintyRad[k - 1] ** 2)
    sum += (weight * wrapped(phases.phaseRad[k] - phases.phaseRad[k - 1])) / (2 * Math.PI * widthHz)
    weights += weight
  }
  return weights > 0 ? (sum / weights) * rateHz : 0
}
