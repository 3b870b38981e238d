import type { Build, FittedPart, WorkRecord } from '../../model/build.ts'

/** A rework and the lot its part came from. */
export interface ReworkLot {
  reworkId: number
  lotId: string
}

export interface BuildStore {
  find(id: number): Build | undefined
  /** Newest first. */
  list(query: { productId?: string }): Build[]
  /** The build that a unit comes from. */
  ofUnit(serial: string): Build | undefined
  /** @returns its number */
  insert(build: Omit<Build, 'id'>): number
  insertFitted(fitted: readonly FittedPart[]): void
  /** What was fitted when the unit was built. */
  fittedIn(serial: string): FittedPart[]
  /** Units that pieces of a lot went into, at their build or in a rework, by serial number. */
  serialsWithLot(lotId: string): string[]
  /** Serial numbers in use that begin so. */
  serialsBeginning(text: string): string[]
  /** Oldest first. */
  work(which: { serial: string } | { buildId: number } | { productId: string }): WorkRecord[]
  insertWork(record: Omit<WorkRecord, 'id' | 'buildId'>): void
  linkRework(link: ReworkLot): void
  reworkLots(serial: string): ReworkLot[]
}
