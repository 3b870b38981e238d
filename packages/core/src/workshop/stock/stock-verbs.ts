import type { z } from 'zod'
import type { TracedPlace } from '../../build/unit-trace.ts'
import type { JournalEntry } from '../../model/journal.ts'
import type { InspectionStatus, LotReading } from '../../model/lot-inspection.ts'
import type { Part, PartVersion } from '../../model/part.ts'
import type { LotInStock, LotState, PartLot } from '../../model/part-lot.ts'
import type { StockMovement } from '../../model/stock-movement.ts'
import type { UnitState } from '../../model/unit.ts'
import type { TableReport } from '../table/import-report.ts'

/** What is told of a part; the number alone for a part that is known. Values in numbers are read from `value`. */
export type PartChanges = { number: string } & Partial<
  Omit<z.input<typeof Part>, 'number' | 'resistanceOhm' | 'capacitanceF'>
>

/** A part with what there is of it. */
export type PartRow = PartVersion & {
  /** Pieces in accepted lots. */
  stock: number
  /** Pieces in lots that are held or wait for their inspection. */
  waiting: number
  lots: number
}

export interface ReceiveLot
  extends Partial<
    Pick<PartLot, 'supplier' | 'dateCode' | 'certificatePath' | 'photoPath' | 'note' | 'measurements' | 'price'>
  > {
  part: string
  pieces: number
  /** What the bag is labelled with; the next number unless told. */
  lot?: string
}

export interface InspectPiece {
  lot: string
  /** The visit of the socketed board with this piece to the rig: its verdict decides. */
  runId?: string
  /** Without a run: whether the piece is good. */
  good?: boolean
  note?: string
}

export interface LotDetail {
  lot: LotInStock
  part: Part
  /** Oldest first; their sum is the stock. */
  movements: StockMovement[]
  readings: LotReading[]
  /** Null when the part is not inspected. */
  inspection: InspectionStatus | null
  /** Newest first. */
  history: JournalEntry[]
}

/** A unit that pieces of a lot went into. */
export interface LotTraceUnit {
  serial: string
  state: UnitState
  productId: string
  revision: string
  /** Places where pieces of the lot are now; empty when rework took them all out. */
  inside: Pick<TracedPlace, 'designator' | 'pieces' | 'reworkId'>[]
  /** Places where they were until a rework. */
  removed: { designator: string; pieces: number; at: string; reworkId: number }[]
}

export interface LotTrace {
  lot: LotInStock
  units: LotTraceUnit[]
  /** Units with pieces of the lot inside that have left the workshop: their owners must be told. */
  toTell: string[]
  /** Units with pieces of the lot inside that are still in the workshop: they can be kept back. */
  toKeep: string[]
}

export interface ImportTable {
  csv: string
  /** Which heading is which field, where it is not known by its own words. */
  columns?: Readonly<Record<string, string>>
  /** Reads and reports only; nothing is stored. */
  check?: boolean
}

export interface StockImport extends TableReport {
  partsAdded: number
  partsChanged: number
  lotsReceived: number
  pieces: number
}

/** What the workshop has in its drawers. Stock is always the sum of movements. */
export interface StockVerbs {
  /** By number. */
  parts(): PartRow[]
  /** Newest version first. Errors: not-found. */
  part(number: string): { part: PartRow; versions: PartVersion[]; lots: LotInStock[] }
  /** Adds a part, or changes one: a new version, unless nothing differs. Errors: bad-argument, bad-quantity. */
  savePart(changes: PartChanges): { part: PartVersion; changed: boolean }
  /** Oldest first. Errors: bad-argument. */
  lots(query?: { part?: string; state?: LotState }): LotInStock[]
  /** Errors: bad-argument, not-found. */
  lot(id: string): LotDetail
  /** Errors: bad-argument, lot-exists, not-found (part). */
  receiveLot(what: ReceiveLot): LotInStock
  /** Sets the stock right after a count. Errors: bad-argument (no reason), not-found. */
  countLot(what: { lot: string; counted: number; reason: string }): LotInStock
  /** Takes up how one piece of a lot did; the lot is accepted or held as soon as its plan decides. Errors: bad-argument, not-found. */
  inspectPiece(what: InspectPiece): { lot: LotInStock; inspection: InspectionStatus }
  /** Decides over a lot by hand. Errors: bad-argument (no reason), not-found. */
  decideLot(what: { lot: string; state: 'accepted' | 'held' | 'refused'; reason: string }): LotInStock
  /** Reads parts and lots from comma-separated values; lines that cannot be taken are reported, the others stored. Errors: bad-argument, column-missing. */
  importStock(what: ImportTable): StockImport
  /** Which units pieces of a lot went into, and who must be told. Errors: bad-argument, not-found. */
  traceLot(id: string): LotTrace
}
