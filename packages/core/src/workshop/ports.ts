import type { GaugeStep, GaugeStudy } from '../model/gauge-study.ts'
import type { JournalEntry } from '../model/journal.ts'
import type { Product } from '../model/product.ts'
import type { Reference } from '../model/reference.ts'
import type { Rework } from '../model/rework.ts'
import type { RigSettings, RigVersion } from '../model/rig.ts'
import type { RetestItem, RigCheck, RigCheckOutcome, RigCheckSummary, RigKind } from '../model/rig-check.ts'
import type { RigUncertainty } from '../model/rig-uncertainty.ts'
import type { RunDiagnosis } from '../model/run-diagnosis.ts'
import type { TestRun, TestRunSummary } from '../model/test-run.ts'
import type { Unit, UnitState } from '../model/unit.ts'
import type { ImpulseResponse } from '../response/recording/recording-view.ts'
import type { BuildStore } from './build/build-ports.ts'
import type { HardReferenceStore, HardRunStore } from './hard/hard-ports.ts'
import type { PartLotStore, PartStore, StockMovementStore } from './stock/stock-ports.ts'

// What the verbs need from the outside, as structural interfaces: the store of `store/` fits them, and so would another.

/** Tells the time; tests hand in one that stands still. */
export interface Clock {
  now(): Date
}

/**
 * The impulse response of one recording, long enough that its curve can be computed again (invariant 4). Its samples are
 * kept as 32-bit floats, so they must be rounded to those (`Math.fround`) before anything is computed from them.
 */
export interface StoredImpulseResponse extends ImpulseResponse {
  setting: string
  /** False when the curve is made of more: of several sweeps, of a loop-back, or of a stimulus that is no sweep of ours. */
  makesCurve: boolean
}

export interface ProductStore {
  /** The newest revision of every product, by name. */
  list(): Product[]
  /** All revisions of a product, newest first. */
  revisions(id: string): Product[]
  find(which: { id: string; revision?: string }): Product | undefined
  insert(what: { product: Product; at: string }): void
}

export interface UnitStore {
  /** Newest change first, each with its last run; `search` matches any part of the serial number. */
  list(query: { state?: UnitState; search?: string }): (Unit & { lastRun: TestRunSummary | null })[]
  find(serial: string): Unit | undefined
  insert(unit: Unit): void
  /** Sets state, last run and time of change of the unit with this serial number. */
  update(unit: Pick<Unit, 'serial' | 'state' | 'lastRunId' | 'updatedAt'>): void
  countByState(): { state: UnitState; count: number }[]
  /** The untested unit that waits longest. */
  firstUntested(): Unit | undefined
}

export interface ReferenceStore {
  /** Newest first. */
  list(productId: string): Reference[]
  find(which: { productId: string; version: number }): Reference | undefined
  /** The newest version made for one of these revisions. */
  newest(which: { productId: string; revisions: readonly string[] }): Reference | undefined
  lastVersion(productId: string): number
  insert(reference: Reference): void
}

export interface TestRunStore {
  find(id: string): TestRun | undefined
  /** Newest first. */
  ofUnit(serial: string): TestRunSummary[]
  /** Every run id, oldest first. */
  ids(): string[]
  summary(id: string): TestRunSummary | undefined
  impulseResponses(id: string): StoredImpulseResponse[]
  insert(what: { run: TestRun; impulseResponses: readonly StoredImpulseResponse[] }): void
}

export interface DiagnosisStore {
  /** The last diagnosis of a run. */
  latest(runId: string): RunDiagnosis | undefined
  latestId(runId: string): number | undefined
  /** The parts that each suspect of a diagnosis names, most probable suspect first. */
  leading(id: number): string[][]
  insert(made: Omit<RunDiagnosis, 'id'>): RunDiagnosis
}

export interface ReworkStore {
  /** Newest first. */
  ofUnit(serial: string): Rework[]
  /** Oldest first. */
  all(): Rework[]
  insert(rework: Omit<Rework, 'id'>): Rework
}

export interface RigSettingsStore {
  /** The version in force. */
  newest(name: string): RigSettings | undefined
  find(which: RigVersion): RigSettings | undefined
  /** Newest first. */
  history(name: string): RigSettings[]
  /** Every version of every rig, by name, oldest first. */
  all(): RigSettings[]
  insert(settings: RigSettings): void
}

/** A product on one kind of rig. */
interface OnRig {
  productId: string
  rig: RigKind
}

export interface RigCheckStore {
  find(id: number): RigCheck | undefined
  /** Newest first. */
  list(query: { productId: string; rig?: RigKind; limit: number }): RigCheckSummary[]
  /** The newest of this outcome; the newest that decided anything when none is told. */
  newest(query: OnRig & { outcome?: RigCheckOutcome }): RigCheck | undefined
  /** Units tested after a check (all when none is told), each with its last run; `decided` leaves out runs that say nothing. */
  tested(
    query: OnRig & { afterCheckId?: number; since?: string; decided: boolean },
  ): { serial: string; runId: string }[]
  lastRunAt(which: OnRig): string | undefined
  insert(what: { check: Omit<RigCheck, 'id'>; doubtful: readonly { serial: string; runId: string }[] }): RigCheck
  /** Units that were put in doubt and not tested since, newest check first. */
  retest(productId: string): RetestItem[]
}

/** The curve of one reading at one setting. */
export interface StoredGaugeCurve extends GaugeStep {
  setting: string
  gainAt1kHzDb: number
  frequencyHz: number[]
  gainDb: number[]
  uncertaintyDb: number[]
}

export interface GaugeStudyStore {
  find(id: number): GaugeStudy | undefined
  /** Newest first. */
  list(productId: string): GaugeStudy[]
  /** @returns its number */
  insert(study: Omit<GaugeStudy, 'id' | 'state' | 'readings' | 'wanted'>): number
  insertReading(what: {
    studyId: number
    step: GaugeStep
    at: string
    station: string
    rig: string
    curves: readonly Omit<StoredGaugeCurve, keyof GaugeStep>[]
  }): void
  abandon(what: { studyId: number; at: string; station: string; note: string }): void
  /** In the order of reading. */
  curves(id: number): StoredGaugeCurve[]
}

export interface RigUncertaintyStore {
  inForce(which: OnRig): RigUncertainty | undefined
  /** The next version; without a study the test plan's own figure counts again. @returns the version */
  insert(
    what: OnRig & {
      at: string
      station: string
      studyId: number | null
      rigUncertaintyDb: number | null
      source: string
    },
  ): number
}

export interface JournalStore {
  /** Adds an entry; the store gives it the next number. */
  append(entry: Omit<JournalEntry, 'seq'>): JournalEntry
  /** Newest first. */
  about(which: { noun: string; key: string }): JournalEntry[]
  /** Entries after `seq` (about one noun, if told), oldest first, at most `limit`. */
  since(which: { seq: number; limit: number; noun?: string }): JournalEntry[]
  lastSeq(): number
}

/** A defect that the store finds in its own file. */
export interface StoreDefect {
  code: 'file-structure' | 'foreign-key' | 'journal-changed' | 'journal-gap' | 'row-not-readable'
  message: string
}

/** One workshop file. */
export interface Store {
  readonly file: string
  readonly products: ProductStore
  readonly units: UnitStore
  readonly references: ReferenceStore
  readonly testRuns: TestRunStore
  readonly diagnoses: DiagnosisStore
  readonly reworks: ReworkStore
  readonly hardRuns: HardRunStore
  readonly hardReferences: HardReferenceStore
  readonly rigSettings: RigSettingsStore
  readonly rigChecks: RigCheckStore
  readonly gaugeStudies: GaugeStudyStore
  readonly rigUncertainties: RigUncertaintyStore
  readonly parts: PartStore
  readonly partLots: PartLotStore
  readonly stockMovements: StockMovementStore
  readonly builds: BuildStore
  readonly journal: JournalStore
  /**
   * Runs `work` in one write transaction that is begun at once (so two programs queue up instead of colliding). What
   * it throws undoes everything. A call inside another joins it.
   */
  transaction<T>(work: () => T): T
  /** Runs `work` on one unchanging view of the file. */
  snapshot<T>(work: () => T): T
  /** A number that has grown whenever anyone, in any program, has written to the file. Costs microseconds. */
  dataVersion(): number
  /** What is wrong with the file itself; empty when sound. */
  defects(): StoreDefect[]
  /**
   * Copies the file while others work on it (SQLite's online backup), opens the copy and hands it to `prove`. The copy
   * gets its name only when `prove` did not throw. A folder as `path` gets a dated file.
   */
  copyTo(what: { path: string; at: Date; prove: (copy: Store) => void }): Promise<{ path: string; bytes: number }>
  close(): void
}
