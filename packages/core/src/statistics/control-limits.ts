/** Centre line and limits of a control chart; in the unit of what is plotted. */
export interface ControlLimits {
  centre: number
  lower: number
  upper: number
}

/** Indices (from 0) of the points strictly beyond the limits. A point exactly on a limit gives no signal. */
export function pointsBeyond(values: ArrayLike<number>, limits: ControlLimits): number[] {
  return Array.from(values).flatMap((value, i) => (value > limits.upper || value < limits.lower ? [i] : []))
}
