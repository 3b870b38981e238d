import type { LotReading } from '../../model/lot-inspection.ts'
import type { Part, PartVersion } from '../../model/part.ts'
import type { LotInStock, LotState, PartLot } from '../../model/part-lot.ts'
import type { StockMovement } from '../../model/stock-movement.ts'

export interface PartStore {
  /** The newest version of every part, by number. */
  list(): PartVersion[]
  newest(number: string): PartVersion | undefined
  /** Newest first. */
  history(number: string): PartVersion[]
  /** The next version. */
  insert(what: { part: Part; changedAt: string }): PartVersion
}

export interface PartLotStore {
  /** Oldest first, each with its stock. */
  list(query: { part?: string; state?: LotState }): LotInStock[]
  find(id: string): LotInStock | undefined
  /** One more than the number of lots: for a lot that comes without a name. */
  nextNumber(): number
  insert(lot: PartLot): void
  setState(what: { id: string; state: LotState }): void
  /** In the order they were tried. */
  readings(id: string): LotReading[]
  insertReading(reading: LotReading): void
}

export interface StockMovementStore {
  /** Oldest first. */
  ofLot(lotId: string): StockMovement[]
  ofBuild(buildId: number): StockMovement[]
  insert(movement: Omit<StockMovement, 'id'>): StockMovement
}
