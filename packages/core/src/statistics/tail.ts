/** Which side of a distribution a probability is counted on: up to a value, or beyond it. */
export type Tail = 'lower' | 'upper'

/** Both tails at one value; each keeps its own relative accuracy, so none is one minus the other. */
export interface Tails {
  lower: number
  upper: number
}
