import type { GaugeResult, GaugeStep, GaugeStudy } from '../../model/gauge-study.ts'
import type { RigVersion } from '../../model/rig.ts'
import type { RigKind } from '../../model/rig-check.ts'
import type { RigUncertainty } from '../../model/rig-uncertainty.ts'
import type { TestRun } from '../../model/test-run.ts'
import type { SweepSignal } from '../../response/sweep/sweep-signal.ts'
import type { WhichRig } from '../rig-check/rig-checks.ts'
import type { SettingRecording } from '../setting-recording.ts'

export interface StartGaugeStudy {
  productId?: string
  rig: RigKind
  /** The boards, by their serial numbers; five that differ are a good number. */
  serials: readonly string[]
  /** Readings of a board without taking it out; 3 unless told. */
  repeats?: number
  /** How often each board is put in anew; 2 unless told. */
  setUps?: number
  /** Decides the order; taken from the clock unless told. */
  seed?: number
  note?: string
}

export interface AddGaugeReading {
  studyId: number
  rig: TestRun['rig']
  /** The step that was measured; it must be the one that is next. */
  position: number
  /** One recording for each setting of the study. */
  recordings: readonly SettingRecording[]
  sweep?: SweepSignal
  loopBackChannel?: number
  /** The settings of the rig that it was recorded through; their correction is taken out. */
  rigSettings?: RigVersion
}

/** A study with what is to be done next; null when nothing is. */
export interface GaugeProgress {
  study: GaugeStudy
  next: GaugeStep | null
}

/** Finding out how well the rig repeats: units x set-ups x repeats. */
export interface GaugeStudies {
  /**
   * Begins a study; its order of reading is drawn by its seed.
   * Errors: bad-argument, bad-serial, gauge-study-open, no-reference, not-found, unit-not-testable.
   */
  start(what: StartGaugeStudy): GaugeProgress
  /** Newest first. Errors: not-found (product). */
  list(productId?: string): GaugeStudy[]
  /** Errors: not-found. */
  show(id: number): GaugeProgress & { order: GaugeStep[] }
  /** The study that waits for its next reading on this rig. */
  underWay(which: WhichRig): GaugeProgress | undefined
  /**
   * Stores the next reading. A recording that proves nothing stores nothing: the same step is measured again.
   * Errors: bad-argument, not-found, recording-refused, recording-twice, rig-drifted, setting-missing, setting-unknown,
   * sweep-mismatch.
   */
  addReading(what: AddGaugeReading): GaugeProgress
  /** Errors: gauge-study-open (readings are missing), not-found. */
  result(id: number): GaugeResult
  /** Gives a study up; its readings stay. Errors: bad-argument (not under way), not-found. */
  abandon(what: { id: number; note?: string }): GaugeStudy
  /** From now on the judge counts with the uncertainty that this study found. Errors: gauge-study-open, not-found. */
  accept(id: number): RigUncertainty
  /** From now on the test plan's own figure counts again. Errors: not-found. */
  acceptPlan(which: WhichRig): void
  /** What the judge counts with on this rig; null: the test plan's own figure. */
  inForce(which: WhichRig): RigUncertainty | null
}
