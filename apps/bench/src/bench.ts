import type { Product, RunDiagnosis } from '@boardwright/core'
import type { RigDriver } from '@boardwright/core/audio'
import type { DiagnoseRun, Workshop } from '@boardwright/core/workshop'

/** Asks for suspects without holding up the screen: working them out takes up to a second. */
export interface Diagnosing {
  /** The suspects of a run as last kept, or worked out now and not kept. */
  show: (runId: string) => Promise<RunDiagnosis>
  /** Works them out with what was measured since, and keeps them. */
  ask: (what: DiagnoseRun) => Promise<RunDiagnosis>
}

/** What every screen of the bench works on. */
export interface Bench {
  workshop: Workshop
  product: Product
  rig: RigDriver
  /** What the rig is, in words, for the header. */
  rigLabel: string
  diagnosing: Diagnosing
}
