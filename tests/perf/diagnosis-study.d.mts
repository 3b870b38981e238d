import type { Diagnosis, Product } from '@boardwright/core'
import type { Board, Fault } from '@boardwright/core/circuit'

/** See diagnosis-study.mjs. */
export interface FaultRecord {
  seed: number
  truth: string
  kind: string
  id: string
  fault: Fault
  group: number
  exact: number
  groupParts: number
  topProbability: number
  topBlame?: { key: string; probability: number }
  none: number
  rigFault: boolean
  named?: { key: string; probability: number }
  made: number
  band: boolean
  shape: boolean
  first: Diagnosis
  last: Diagnosis
}
export interface Tally {
  boards: number
  band: number
  shape: number
}
type Study = { product: Product; boards: number; seed: number }
export function loadProducts(): Product[]
export function studySettings(product: Product): string[]
export function benchOf(
  product: Product,
  board: Board,
  seed: number,
): {
  sweep: (setting: string, node?: string) => import('@boardwright/core').SettingMeasurement
  voltage: (setting: string, node: string) => number
  current: (setting: string) => number
}
export function blames(diagnosis: Diagnosis): { key: string; probability: number }[]
export function studyFaults(options: Study & { partChecks?: boolean; onBoard?: (record: object) => void }): {
  records: FaultRecord[]
  drawn: number
  gross: Tally
  grossShown: Tally
}
export function studyOutside(options: Study): {
  records: { kind: string; none: number; top: number; blame: number; half: boolean; first: Diagnosis }[]
  drawn: number
}
export function studyHealthy(options: Study): Tally
export function studySoftFaults(options: { product: Product }): {
  designator: string
  up: number | null
  down: number | null
}[]
