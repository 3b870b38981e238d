/**
 * How the mains runs during a recording: its frequency beside the nominal one is a line of straight pieces between knots.
 * One line of its multiples runs `order` times as fast.
 */
export interface MainsPhase {
  knotS: number
  /** Deviation from the nominal frequency at 0, knotS, 2 knotS ..., Hz. */
  deviationHz: Float64Array
}

const longestKnotS = 2.5

/** A mains that runs at its nominal frequency. */
export const steadyMains = (durationS: number): MainsPhase => {
  const pieces = Math.max(1, Math.ceil(durationS / longestKnotS))
  return { knotS: durationS / pieces, deviationHz: new Float64Array(pieces + 1) }
}

/** Phase beside that of the nominal frequency, 0 at time 0, rad. */
export const phaseAt = ({ knotS, deviationHz }: MainsPhase, atS: number): number => {
  const last = deviationHz.length - 2
  let phase = 0
  for (let j = 0; j <= last; j++) {
    const inPiece = j === last ? atS - j * knotS : Math.min(atS - j * knotS, knotS)
    const slope = (deviationHz[j + 1] - deviationHz[j]) / knotS
    phase += inPiece * (deviationHz[j] + 0.5 * slope * inPiece)
    if (atS <= (j + 1) * knotS) break
  }
  return 2 * Math.PI * phase
}

/** How `phaseAt` changes with the deviation at each knot, rad/Hz. */
export const phaseGradient = ({ knotS, deviationHz }: MainsPhase, atS: number): Float64Array => {
  const gradient = new Float64Array(deviationHz.length)
  const last = deviationHz.length - 2
  for (let j = 0; j <= last; j++) {
    const inPiece = j === last ? atS - j * knotS : Math.min(atS - j * knotS, knotS)
    const risen = (0.5 * inPiece * inPiece) / knotS
    gradient[j] += 2 * Math.PI * (inPiece - risen)
    gradient[j + 1] += 2 * Math.PI * risen
    if (atS <= (j + 1) * knotS) break
  }
  return gradient
}
