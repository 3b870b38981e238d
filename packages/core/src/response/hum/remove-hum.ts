import type { SweepSignal } from '../sweep/sweep-signal.ts'
import { findHum, type Hum } from './find-hum.ts'
import { subtractHum } from './subtract-hum.ts'

/** A channel without its mains hum; the samples themselves where there is none. */
export interface WithoutHum {
  samples: Float64Array
  hum: Hum | null
}

/** Takes the mains hum out of a channel, so that it does not stand in the response. */
export const removeHum = (options: {
  samples: Float64Array
  sweep: SweepSignal
  offsetSamples: number
}): WithoutHum => {
  const { samples, sweep } = options
  const hum = findHum(options)
  if (!hum) return { samples, hum }
  return { samples: subtractHum({ samples, rateHz: sweep.rateHz, ...hum }), hum }
}
