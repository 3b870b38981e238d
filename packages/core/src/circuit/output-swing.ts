import type { CircuitElement } from '../model/circuit.ts'

export type OperationalAmplifierElement = Extract<CircuitElement, { kind: 'op-amp' }>

/** Between which voltages an op-amp's output can move. `spanV` is half the distance. */
export type OutputSwing = { lowV: number; highV: number; middleV: number; spanV: number }

/** Output limits for given supply voltages. Without enough supply the limits meet in the middle: the op-amp does nothing. */
export const outputSwing = (
  { headroomHighV, headroomLowV }: OperationalAmplifierElement,
  positiveV: number,
  negativeV: number,
): OutputSwing => {
  const middleV = (positiveV - headroomHighV + negativeV + headroomLowV) / 2
  const spanV = (positiveV - headroomHighV - negativeV - headroomLowV) / 2
  if (spanV > 0) return { lowV: middleV - spanV, highV: middleV + spanV, middleV, spanV }
  const half = (positiveV + negativeV) / 2
  return { lowV: half, highV: half, middleV: half, spanV: 0 }
}

/**
 * Soft limit for the search of the operating point: x for small x, ±1 for large, with its slope. The sharpness is high enough
 * that an output inside its swing sits where the hard limit would leave it.
 */
export const softLimit = (x: number): { value: number; slope: number } => {
  const p = 1 + x ** 4
  const root = p ** 0.25
  if (!Number.isFinite(p)) return { value: Math.sign(x), slope: 0 }
  return { value: x / root, slope: 1 / (root * p) }
}
