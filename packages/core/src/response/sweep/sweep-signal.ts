import type { SweepSettings } from '../../model/sweep.ts'

/** A stretch of samples: `endSample` is the first one after it. */
export interface SampleSpan {
  startSample: number
  endSample: number
}

/** The stimulus as played: its samples, and where everything stands in them. */
export interface SweepSignal {
  settings: SweepSettings
  rateHz: number
  /** The whole stimulus, silences and markers included; full scale = 1. */
  samples: Float64Array
  /**
   * L of sin(2 pi f1 L exp(t/L)): seconds in which the frequency grows by the factor e. null when the stimulus is no
   * exponential sweep: then distortion cannot be told from the linear response.
   */
  rateS: number | null
  /** One span per repeat, run-in and run-out included. */
  bodies: SampleSpan[]
  /** The two marker chirps, or none. */
  markers: SampleSpan[]
  /** From the start of a body to the moment it passes `fromHz` (t = 0), s. */
  runInS: number
  /** From the moment a body passes `toHz` (t = durationS) to its end, s. */
  runOutS: number
}
