import type { ControlPositions } from '../model/circuit.ts'

/** A measured gain at one setting. Uncertainties are standard ones, dB; the grid is free. */
export type MeasuredGain = {
  positions: ControlPositions
  frequencyHz: ArrayLike<number>
  gainDb: ArrayLike<number>
  uncertaintyDb: ArrayLike<number> | number
}
