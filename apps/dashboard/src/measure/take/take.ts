import type { TakeCheck } from '../check/check-messages.ts'

/** What was recorded at one setting, and what the checks say of it. */
export interface Take {
  setting: string
  rateHz: number
  /** The response and, when there is one, the loop-back; full scale = 1. */
  channels: Float64Array[]
  check: TakeCheck
  /** How often the sweep was played for it. */
  played: number
  /** Bits of a sample as the browser took it; undefined where it does not say. */
  bits: number | undefined
}
