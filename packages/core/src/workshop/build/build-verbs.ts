import type { KitLine } from '../../build/kit-list.ts'
import type { StepPace } from '../../build/step-pace.ts'
import type { UnitTrace } from '../../build/unit-trace.ts'
import type { Build, BuildState, WorkMark, WorkRecord } from '../../model/build.ts'
import type { PlacingOrder, WorkStep } from '../../model/procedure.ts'
import type { Product } from '../../model/product.ts'
import type { StockMovement } from '../../model/stock-movement.ts'
import type { Unit, UnitState } from '../../model/unit.ts'
import type { ImportTable } from '../stock/stock-verbs.ts'
import type { TableReport } from '../table/import-report.ts'

export interface PlanBuild {
  productId?: string
  revision?: string
  units: number
  /** By default the product's own, or inside-out. */
  order?: PlacingOrder
  /** The first running number; by default the one after the highest in use. Never below it. */
  firstNumber?: number
}

/** A line of the kit list with what a person wants to know of it. */
export interface PlannedLine extends KitLine {
  value: string
  /** False when the workshop knows nothing of this part yet. */
  known: boolean
  /** When what is short can be here, ordered now; null when nothing is short, or the lead time is not known. */
  expectedOn: string | null
  /** Lots of the part that may not be built in yet. */
  waiting: { lotId: string; state: 'held' | 'awaiting-inspection'; stock: number }[]
}

export interface BuildPlan {
  productId: string
  revision: string
  units: number
  order: PlacingOrder
  lines: PlannedLine[]
  /** Places of the board that the parts list says nothing about. */
  unlisted: string[]
  /** Nothing is short and every place is listed: the build can start. */
  ready: boolean
  /** The serial numbers that it would get. */
  serials: string[]
  steps: WorkStep[]
}

export interface StartBuild extends PlanBuild {
  note?: string
}

export interface BuildUnit {
  serial: string
  state: UnitState
  /** Keys of the steps that are done. */
  done: string[]
  /** Key of the first step that is not; null when all are. */
  next: string | null
  /** Time taken for it so far, s; only where times were taken. */
  workedS: number
}

export interface BuildRow {
  build: Omit<Build, 'steps'>
  state: BuildState
  units: BuildUnit[]
}

export interface BuildDetail extends Omit<BuildRow, 'build'> {
  build: Build
  /** What went out of stock for it, or came back. */
  movements: StockMovement[]
  /** Oldest first. */
  work: WorkRecord[]
  /** Over all builds of the product. */
  pace: StepPace[]
}

export interface RecordWork {
  buildId: number
  /** Key of the step. */
  step: string
  /** The units it was done on; all of the build that are not done with it unless told. */
  serials?: readonly string[]
  /** Done unless told; `wrong` needs a note. */
  mark?: WorkMark
  /** Time worked on all of them together, pauses left out, s. */
  workedS?: number
  note?: string
  photoPath?: string
}

export interface ScrapUnit {
  serial: string
  /** Why it is given up. */
  reason: string
  /** Places whose parts were not fitted yet and go back into their lots. */
  putBack?: 'all' | readonly string[]
}

export interface ImportRevision extends ImportTable {
  productId?: string
  /** The new revision that gets it; without one it is only looked at. */
  saveAs?: string
  /** Save although lines were refused: without them. */
  skipRefused?: boolean
}

export interface ImportedRevision extends TableReport {
  /** The new revision; null when nothing was saved. */
  product: Product | null
  /** Places of the board that still have no part, or no placement. */
  missing: string[]
}

export interface ImportPlacements extends ImportRevision {
  /** Of a board that the product does not describe yet. */
  boardWidthMm?: number
  boardHeightMm?: number
}

/** Building: from parts in a drawer to units that can be tested. */
export interface BuildVerbs {
  /** What a build would take, from which lots, and what is short. Stores nothing. Errors: bad-argument, not-found, parts-list-missing, serials-used-up. */
  plan(what: PlanBuild): BuildPlan
  /** Takes the parts out of stock and gives the serial numbers, all at once or not at all. Errors: as `plan`, stock-short. */
  start(what: StartBuild): BuildDetail
  /** Newest first. Errors: not-found (product). */
  list(query?: { productId?: string }): BuildRow[]
  /** Errors: not-found. */
  show(id: number): BuildDetail
  /** Records a work step; a unit whose board steps are all done becomes `untested`. Errors: bad-argument, bad-serial, not-found, step-not-possible. */
  recordWork(what: RecordWork): BuildDetail
  /** Gives up a board in work: `scrapped`; parts not fitted yet go back. Errors: bad-argument, bad-serial, not-found, part-unknown, step-not-possible. */
  scrapUnit(what: ScrapUnit): Unit
  /** What is in a unit, and from which lots. Errors: bad-serial, not-found. */
  traceUnit(serial: string): UnitTrace & { unit: Unit; buildId: number | null }
  /** Reads a parts list into a new revision. Errors: bad-argument, column-missing, not-found, revision-frozen. */
  importPartsList(what: ImportRevision): ImportedRevision
  /** Reads placements into a new revision. Errors: bad-argument, column-missing, not-found, revision-frozen. */
  importPlacements(what: ImportPlacements): ImportedRevision
}
