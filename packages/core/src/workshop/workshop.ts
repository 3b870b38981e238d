import type { DiagnosisFigures } from '../model/diagnosis-figures.ts'
import type { JournalEntry } from '../model/journal.ts'
import type { Breakpoint, Product, ToleranceBand } from '../model/product.ts'
import type { Reference } from '../model/reference.ts'
import type { Rework, ReworkAction } from '../model/rework.ts'
import type { RigVersion } from '../model/rig.ts'
import type { RunDiagnosis } from '../model/run-diagnosis.ts'
import type { SettingMeasurement, TestRun, TestRunSummary } from '../model/test-run.ts'
import type { Unit, UnitState } from '../model/unit.ts'
import type { Judgement } from '../model/verdict.ts'
import type { SweepSignal } from '../response/sweep/sweep-signal.ts'
import type { BuildVerbs } from './build/build-verbs.ts'
import type { GaugeStudies } from './gauge-study/gauge-studies.ts'
import type { HardVerbs } from './hard/hard-verbs.ts'
import type { RigVerbs } from './rig/rig-verbs.ts'
import type { RigChecks } from './rig-check/rig-checks.ts'
import type { SettingRecording } from './setting-recording.ts'
import type { StockVerbs } from './stock/stock-verbs.ts'

export type { SettingRecording }

/** A unit in the list, with its last test run. */
export type UnitRow = Unit & { lastRun: TestRunSummary | null }

export interface UnitDetail {
  unit: Unit
  /** Newest first. */
  runs: TestRunSummary[]
  /** Journal entries about this unit, newest first. */
  history: JournalEntry[]
  /** Newest first. */
  reworks: Rework[]
}

export interface RecordTestRun {
  /** As scanned or typed; stored in capitals. */
  serial: string
  /** Product of a serial number not seen before; by default the only product. */
  productId?: string
  rig: TestRun['rig']
  /** One recording for each setting of the test plan. */
  recordings: readonly SettingRecording[]
  /** What was played; by default the test plan's stimulus at the recording's rate. */
  sweep?: SweepSignal
  /** Channel (from 0) that carries the stimulus looped back, if there is one. */
  loopBackChannel?: number
  /** The settings of the rig that it was recorded through; their correction is taken out. */
  rigSettings?: RigVersion
}

export interface MeasureAhead {
  recording: SettingRecording
  productId?: string
  sweep?: SweepSignal
  loopBackChannel?: number
  rigSettings?: RigVersion
}

export interface PrepareRun {
  productId?: string
  sweep?: SweepSignal
}

export interface RecordedTestRun {
  run: TestRun
  /** The unit as it stands after the run. */
  unit: Unit
  /** True when the serial number was not known before: a wrong scan shows here. */
  newUnit: boolean
}

/** One more sweep of a board that is diagnosed. */
export interface FurtherRecording extends SettingRecording {
  /** Where the probe stood; the board's output when left out. */
  node?: string
}

export interface DiagnoseRun {
  /** The run, or the serial number of a unit whose last run is meant. */
  runId?: string
  serial?: string
  /** Current that the board takes from its supply, A. */
  supplyCurrentA?: number
  /** Direct voltages against ground, V, by node of the circuit. */
  nodeVoltagesV?: Readonly<Record<string, number>>
  /** Parts that were measured by themselves: found as drawn, and found wrong. */
  soundParts?: readonly string[]
  faultyParts?: readonly string[]
  /** Sweeps beyond those of the run: at other settings, or with a probe at a node. */
  recordings?: readonly FurtherRecording[]
  /** What was played for them; by default the test plan's stimulus. */
  sweep?: SweepSignal
  /** True leaves out what earlier diagnoses of the run were told. */
  afresh?: boolean
}

export interface RecordRework {
  serial: string
  /** As on the parts list; `U1` for both sections of U1. */
  designator: string
  action: ReworkAction
  /** What was put in, and from which lot, in the maker's words. */
  part?: string
  lot?: string
  note?: string
  /** False while more is to be done: the unit stays in `rework` and cannot be tested. */
  finished?: boolean
}

export interface AddReference {
  productId?: string
  /** Several recordings of one setting are several runs: from two on, repeatability is known. */
  recordings: readonly SettingRecording[]
  sweep?: SweepSignal
  loopBackChannel?: number
  rigSettings?: RigVersion
  note?: string
}

export interface ProductBand {
  productId?: string
  from:
    | { kind: 'tolerance' /** Share of healthy boards wanted inside (0.995). */; yield?: number; widenDb?: number }
    | { kind: 'by-hand'; points: readonly (Breakpoint & { setting?: string })[] }
    | { kind: 'units' /** So many units at most, the newest. */; last: number }
  /** Where the band may bend, Hz, rising (octaves); not for a band by hand. */
  breakpointsHz?: readonly number[]
  /** Keeps it, as a new revision of the product. */
  saveAs?: { revision: string }
}

/** What a band stands on; it is in the journal with the revision. */
export type BandBasis =
  | { kind: 'tolerance'; boards: number; yield: number }
  | { kind: 'by-hand' }
  | { kind: 'units'; serials: string[]; referenceVersion: number }

export interface ProductBandReport {
  productId: string
  basis: BandBasis
  bands: ToleranceBand[]
  /** The bands of the present revision. */
  before: ToleranceBand[]
  /** Share of boards drawn with their parts' tolerances that keep inside at every setting, against another such board. */
  healthyShare: { bands: number; before: number }
  /** The new revision; null when it was not to be kept. */
  product: Product | null
}

export interface WorkshopFinding {
  code:
    | 'file-structure'
    | 'foreign-key'
    | 'journal-changed'
    | 'journal-gap'
    | 'row-not-readable'
    | 'verdict-differs'
    | 'state-differs'
  message: string
}

export interface CheckReport {
  ok: boolean
  findings: WorkshopFinding[]
  unitsChecked: number
  runsChecked: number
  journalEntries: number
}

export interface BackupReport {
  path: string
  bytes: number
  /** The check of the copy, after it was opened. */
  check: CheckReport
}

export interface WorkshopSummary {
  /** Every state has a count, also 0. */
  unitsByState: Record<UnitState, number>
  units: number
  products: number
  lastSeq: number
  diagnosis: DiagnosisFigures
}

/**
 * The workshop as bench, API and desk see it: every verb, bound to one file. All calls are synchronous but `backup`.
 * What a user can cause is thrown as BoardwrightError; the codes stand with each verb's own file.
 */
export interface Workshop {
  readonly file: string
  /** Name of the place that works here; it stands in the journal. */
  readonly station: string

  /** The newest revision of every product. */
  products(): Product[]
  /** The product with this id, or the only one; its newest revision unless told. Errors: not-found. */
  product(id?: string, revision?: string): Product
  /** Errors: revision-frozen when this revision exists with other content. The same content again changes nothing. */
  addProduct(product: Product): Product

  /**
   * Makes the tolerance band of a product, and with `saveAs` a new revision that has it.
   * Errors: bad-argument, bad-circuit, no-reference, not-found, revision-frozen, setting-unknown, too-few-units.
   */
  productBand(what: ProductBand): ProductBandReport

  /** Newest change first. `search` finds any part of a serial number. */
  units(query?: { state?: UnitState; search?: string }): UnitRow[]
  /** Errors: bad-serial, not-found. */
  unit(serial: string): UnitDetail
  /** A new, untested unit. Errors: bad-serial, unit-exists, not-found (product). */
  registerUnit(what: { serial: string; productId?: string }): Unit
  /** The untested unit that waits longest. */
  nextToTest(): Unit | undefined

  /** Makes the next version of the reference. Errors: setting-missing, setting-unknown, recording-refused, not-found. */
  addReference(what: AddReference): Reference
  /** Newest first. */
  references(productId?: string): Reference[]
  /** The version that the next test run will be judged by. */
  currentReference(productId?: string): Reference | undefined

  /**
   * Measures one recording while the rig works on the next setting; `recordTestRun` does not measure the same recording
   * object again, so that its verdict waits for the last one only. Stores nothing.
   * Errors: bad-argument, not-found, sweep-mismatch.
   */
  measureAhead(what: MeasureAhead): SettingMeasurement

  /**
   * Goes through a test without a board, so that the first verdict does not wait for what can be done before: call it while
   * nobody waits, twice or three times. Stores nothing. Errors: not-found, sweep-mismatch.
   */
  prepareRun(what: PrepareRun): void

  /**
   * Measures, judges and stores one visit of a unit to the rig. A recording that proves nothing gives `repeat`, no error.
   * Errors: bad-serial, correction-differs, no-reference, setting-missing, setting-unknown, sweep-mismatch,
   * unit-not-testable, not-found.
   */
  recordTestRun(what: RecordTestRun): RecordedTestRun
  /** A run and the reference it was judged by. Errors: not-found. */
  testRun(id: string): { run: TestRun; reference: Reference }
  /** Computes the judgement again from the stored impulse responses. Errors: not-found. */
  rejudge(id: string): Judgement

  /**
   * Works out what is wrong with a tested board, and keeps it with the run. What earlier diagnoses of the run were told
   * still counts. Errors: bad-argument, bad-serial, not-diagnosable, not-found, part-unknown,
   * recording-refused, setting-unknown, sweep-mismatch.
   */
  diagnoseRun(what: DiagnoseRun): Promise<RunDiagnosis>
  /**
   * The last diagnosis of a run; where none was kept, one worked out now that is not kept.
   * Errors: not-diagnosable, not-found.
   */
  diagnosis(runId: string): Promise<RunDiagnosis>
  /** How often the first suspect was right. */
  diagnosisFigures(): DiagnosisFigures
  /**
   * Records what was replaced or redone; the unit is `untested` after it, or in `rework` while it is not finished.
   * Errors: bad-argument, bad-serial, not-found, part-unknown, unit-not-reworkable.
   */
  recordRework(what: RecordRework): { rework: Rework; unit: Unit }

  /** Settings of the rigs, with their versions. */
  readonly rig: RigVerbs
  /** Boards pressed hard: gain compression, harmonics, clipping. */
  readonly hard: HardVerbs
  /** Proving the rig with the reference board. */
  readonly rigChecks: RigChecks
  /** How well the rig repeats, and the guard band that follows. */
  readonly gaugeStudies: GaugeStudies

  /** Parts, lots and what is left of them. */
  readonly stock: StockVerbs
  /** Builds, their work steps, and which lots are in a unit. */
  readonly builds: BuildVerbs

  /** Runs recorded after journal number `seq`, oldest first; `seq` of each is its journal number. */
  runsSince(seq: number): { seq: number; run: TestRunSummary }[]
  /** Journal entries after `seq`, oldest first, at most `limit` (500 unless told). */
  journalSince(seq: number, limit?: number): JournalEntry[]
  /** Number of the newest journal entry, 0 when there is none. */
  lastSeq(): number
  /** A number that has grown whenever any program has written to the file: poll it, it costs microseconds. */
  dataVersion(): number

  summary(): WorkshopSummary
  /** Proves the file: structure, foreign keys, journal, and every verdict computed again. */
  check(): CheckReport
  /** Copies the file while others work, then opens and checks the copy. Errors: file-not-writable, disk-full. */
  backup(path: string): Promise<BackupReport>
  close(): void
}
