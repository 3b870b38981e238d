import type { Finding, SweepSettings } from '@boardwright/core'

/** What the page asks of the checking worker. */
export interface CheckRequest {
  id: number
  stimulus: SweepSettings
  /** Largest standard uncertainty the judge can live with, dB. */
  wantedUncertaintyDb: number
  /** The response and, when there is one, the loop-back; full scale = 1. Without a channel the worker only gets ready. */
  channels: Float64Array[]
}

/** What the checks of one recording gave. */
export interface TakeCheck {
  usable: boolean
  findings: Finding[]
  /** null without a curve. */
  gainAt1kHzDb: number | null
  noiseDbfs: number | null
  /** Largest magnitude of the response, dBFS. */
  peakDbfs: number
}

export type CheckReply = { id: number } & ({ check: TakeCheck } | { failure: string })
