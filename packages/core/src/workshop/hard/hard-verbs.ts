import type { HardJudgement, HardReference, HardRun, HardRunSummary } from '../../model/hard-run.ts'
import type { RigSettings } from '../../model/rig.ts'
import type { TestRun } from '../../model/test-run.ts'
import type { Unit } from '../../model/unit.ts'
import type { HardStimuli } from '../../response/hard/measure-hard.ts'
import type { WaveAudio } from '../../response/wave/wave-format.ts'

/** The two recordings of a board at one supply. */
export interface HardRecording {
  /** Name of the supply, as in the test plan. */
  supply: string
  sweep: WaveAudio
  ladder: WaveAudio
}

export interface RecordHardRun {
  /** As scanned or typed. */
  serial: string
  rig: TestRun['rig']
  /** One for each supply of the test plan. */
  recordings: readonly HardRecording[]
  /** The settings of the rig that it was recorded through; volts follow from its calibration. */
  rigSettings?: RigSettings
}

export interface RecordedHardRun {
  run: HardRun
  /** The unit as it stands after the run. */
  unit: Unit
}

/** Pressing boards hard: `workshop.hard`. */
export interface HardVerbs {
  /** What is to be played at each supply, through a rig. Errors: level-too-high, no-hard-plan, not-found. */
  stimuli(what: { productId?: string; rigSettings?: RigSettings }): HardStimuli
  /**
   * Makes the next version of the reference board's signature; each take is one visit to the rig at every supply.
   * Errors: no-hard-plan, not-found, recording-refused, supply-missing.
   */
  addReference(what: {
    productId?: string
    takes: readonly (readonly HardRecording[])[]
    rigSettings?: RigSettings
    note?: string
  }): HardReference
  /** Newest first. */
  references(productId?: string): HardReference[]
  /** What the next run will be compared with. */
  currentReference(productId?: string): HardReference | undefined
  /**
   * Measures, judges and stores one visit; a board that fails leaves the shelf.
   * Errors: bad-serial, no-hard-plan, no-hard-reference, not-found, supply-missing, unit-not-testable.
   */
  record(what: RecordHardRun): RecordedHardRun
  /** Runs of a unit, newest first. Errors: bad-serial. */
  ofUnit(serial: string): HardRunSummary[]
  /** A run and the signature it was compared with. Errors: not-found. */
  run(id: string): { run: HardRun; reference: HardReference }
  /** Computes the judgement again from what is stored. Errors: not-found. */
  rejudge(id: string): HardJudgement
}
