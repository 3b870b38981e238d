import type { DriftChart, RigCheckStatus } from '../../model/drift-chart.ts'
import type { RigVersion } from '../../model/rig.ts'
import type { RetestItem, RigCheck, RigCheckSummary, RigKind } from '../../model/rig-check.ts'
import type { TestRun } from '../../model/test-run.ts'
import type { Unit } from '../../model/unit.ts'
import type { SweepSignal } from '../../response/sweep/sweep-signal.ts'
import type { SettingRecording } from '../setting-recording.ts'

export interface RecordRigCheck {
  productId?: string
  rig: TestRun['rig']
  /** Of the reference board: one recording for each setting of the test plan. */
  recordings: readonly SettingRecording[]
  /** What was played; by default the test plan's stimulus at the recording's rate. */
  sweep?: SweepSignal
  loopBackChannel?: number
  /** The settings of the rig that it was recorded through; their correction is taken out. */
  rigSettings?: RigVersion
}

export interface RecordedRigCheck {
  check: RigCheck
  /** Units that this check puts in doubt; empty unless it found the rig drifted. */
  doubtful: RetestItem[]
  status: RigCheckStatus
}

/** A product on one kind of rig; the only product unless told. */
export interface WhichRig {
  productId?: string
  rig: RigKind
}

/** Proving the rig with the reference board. */
export interface RigChecks {
  /**
   * Measures the reference board against its reference, judges the rig and stores the check. When the rig has drifted, the
   * units tested since the last good check are put on the list of those to be tested again.
   * Errors: bad-argument, correction-differs, no-reference, not-found, recording-twice, setting-missing, setting-unknown, sweep-mismatch.
   */
  record(what: RecordRigCheck): RecordedRigCheck
  /** How the rig stands before the next unit: one sentence, and whether work stops. Errors: not-found. */
  status(which: WhichRig): RigCheckStatus
  /** Says no before a rig that has drifted plays for nothing. Errors: not-found, rig-drifted. */
  needProven(which: { productId?: string; rig: TestRun['rig'] }): void
  /** Newest first, of all rigs unless told; at most 200 unless told. */
  list(which: { productId?: string; rig?: RigKind; limit?: number }): RigCheckSummary[]
  /** Errors: not-found. */
  show(id: number): RigCheck
  /** Drift since the reference in force was made. Errors: not-found. */
  chart(which: WhichRig): DriftChart
  /** Units tested on a rig that was found drifted afterwards, until each is tested again. */
  retest(productId?: string): RetestItem[]
  /**
   * Takes units of that list back from the shelf: ready and reserved ones are `untested` again. All of them unless named.
   * Errors: bad-serial, not-found (not on the list), unit-not-testable (shipped).
   */
  takeBack(what: { productId?: string; serials?: readonly string[] }): { units: Unit[] }
}
