import type { ContactCheck, Product } from '@boardwright/core'
import type { RigDriver } from '@boardwright/core/audio'
import type { Workshop } from '@boardwright/core/workshop'
import type { SettingProgress } from './setting-progress.ts'

/** What a run waits for a person to say. */
export type RunQuestion =
  /** Before the first sound of a session. */
  | { kind: 'caution' }
  /** The board is to be moved to this setting by hand. */
  | { kind: 'setting'; setting: string }
  /** The contact check is against the sweep. */
  | { kind: 'contact'; setting: string; check: ContactCheck }

/** `go`: it is done, go on (or, after a contact check, try again); `measure`: measure all the same. */
export type RunAnswer = 'go' | 'measure'

/** A unit to be tested on a rig. */
export interface RunTest {
  workshop: Workshop
  rig: RigDriver
  product: Product
  serial: string
  /** Another word than before says that the same board was put in anew. */
  setUp?: string
  signal: AbortSignal
  onProgress: (settings: SettingProgress[]) => void
  /**
   * Asks the person at the rig; it may reject with the signal's reason. Without it nobody is there: cautions and settings
   * count as done, and a bad contact ends the run.
   */
  ask?: (question: RunQuestion) => Promise<RunAnswer>
}
