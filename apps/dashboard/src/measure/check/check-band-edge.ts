import type { Finding, SweepSignal } from '@boardwright/core'
import { formatHz, formatRate } from '@boardwright/core'

/** No board and no converter falls so far within the fifth of an octave that is compared, dB; a converted rate does. */
const leastFallDb = -20
/** Where it is looked at, as a share of the run-out's octaves: inside the fade, but heard well enough. */
const edgeShare = 0.8
/** How much of the run-out is looked at: narrow enough to stand clear of what a lower rate still carries. */
const windowShare = 0.15

/** Samples around the moment at which a sweep passes a frequency; from the start of the stimulus file. */
function windowAt(sweep: SweepSignal & { rateS: number }, frequencyHz: number): { from: number; to: number } {
  const { settings, rateHz, rateS, runInS, runOutS } = sweep
  const bodyStart = sweep.bodies[0]?.startSample ?? 0
  const middle = bodyStart + (runInS + rateS * Math.log(frequencyHz / settings.fromHz)) * rateHz
  const half = (windowShare * runOutS * rateHz) / 2
  return { from: Math.round(middle - half), to: Math.round(middle + half) }
}

function energyOf(samples: Float64Array, from: number, to: number): number {
  let sum = 0
  for (let i = Math.max(0, from); i < Math.min(samples.length, to); i++) sum += (samples[i] ?? 0) ** 2
  return sum
}

/**
 * `wrong-rate`: what the sweep has just under half the sample rate did not come back, while its upper end did. A sound
 * server that runs the device at a lower rate than it tells the browser (which cannot see it) does so.
 * @param options.offsetSamples sample of the response at which the stimulus file's first sample arrives
 */
export function checkBandEdge(options: {
  sweep: SweepSignal
  response: Float64Array
  offsetSamples: number
}): Finding[] {
  const { sweep, response, offsetSamples } = options
  if (sweep.rateS === null) return []
  const { toHz, rateHz } = sweep.settings
  const edgeHz = toHz * Math.exp((edgeShare * sweep.runOutS) / sweep.rateS)
  const gainDbAt = (frequencyHz: number): number => {
    const { from, to } = windowAt({ ...sweep, rateS: sweep.rateS as number }, frequencyHz)
    const came = energyOf(response, from + offsetSamples, to + offsetSamples)
    return 10 * Math.log10(came / energyOf(sweep.samples, from, to))
  }
  if (gainDbAt(edgeHz) - gainDbAt(toHz) > leastFallDb) return []
  return [
    {
      code: 'wrong-rate',
      severity: 'refuse',
      message: `The sweep was played up to ${formatHz(edgeHz)} but came back up to ${formatHz(toHz)} only: a device runs at less than ${formatRate(rateHz)} and the system converts.`,
      remedy: `Set both devices to ${formatRate(rateHz)} in the sound settings of the computer, then record again.`,
    },
  ]
}
