import type { HardReference, HardRun, HardRunSummary } from '../../model/hard-run.ts'

export interface HardRunStore {
  find(id: string): HardRun | undefined
  /** Newest first. */
  ofUnit(serial: string): HardRunSummary[]
  /** Oldest first. */
  ids(): string[]
  insert(run: HardRun): void
}

export interface HardReferenceStore {
  /** Newest first. */
  list(productId: string): HardReference[]
  find(which: { productId: string; version: number }): HardReference | undefined
  lastVersion(productId: string): number
  insert(reference: HardReference): void
}
