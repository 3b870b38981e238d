import type { Product } from '@boardwright/core'
import type { RigDriver } from '@boardwright/core/audio'
import type { Workshop } from '@boardwright/core/workshop'

/** What every screen of the bench works on. */
export interface Bench {
  workshop: Workshop
  product: Product
  rig: RigDriver
  /** What the rig is, in words, for the header. */
  rigLabel: string
}
