import type { Fault } from '../circuit/fault.ts'
import type { SuspicionKind } from '../model/suspect.ts'

/** One thing that may be wrong. */
export type Hypothesis = {
  /** Stable name. */
  id: string
  kind: SuspicionKind
  designators: string[]
  nodes: string[]
  /** In the engine's terms; null when nothing is wrong. */
  fault: Fault | null
  /** Relative weight before anything is measured; see `priors.ts`. */
  weight: number
  /** The size of the fault's first change is not known: it is fitted; `deviation` is that of its logarithm. */
  free?: { deviation: number }
}
