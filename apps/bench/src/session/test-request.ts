import type { Product } from '@boardwright/core'
import type { RigDriver } from '@boardwright/core/audio'
import type { Workshop } from '@boardwright/core/workshop'
import type { SettingProgress } from './setting-progress.ts'

/** A unit to be tested on a rig. */
export interface RunTest {
  workshop: Workshop
  rig: RigDriver
  product: Product
  serial: string
  signal: AbortSignal
  onProgress: (settings: SettingProgress[]) => void
}
