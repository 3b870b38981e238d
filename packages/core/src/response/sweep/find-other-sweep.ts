import { bestShift } from '../recording/find-shifted-part.ts'
import type { SweepPhase } from './sweep-blocks.ts'
import type { SweepSignal } from './sweep-signal.ts'

/** Where a recording is laid beside the sweep, Hz. */
const probesHz = [250, 500, 1000, 2000, 4000, 8000]
/** Length of what is laid beside it, in sqrt(L / f): a sweep of another pace is still like this one for so long. */
const partLength = 1.5
const furthestShiftS = 0.3
/** Share of the energy that must follow the sweep at the place found, and how many probes must. */
const matchedShare = 0.5
const fewestMatched = 3
/** The place must move by this much at least: more than a board's own delays do, s. */
const leastRangeS = 0.008
/** Root mean square distance from a straight line, over the range: a lost block, which makes a step, has 0.2. */
const straightShare = 0.1

interface Place {
  x: number
  shiftS: number
}

/** Root mean square distance of the places from a straight line over ln f. */
const distanceFromLine = (places: readonly Place[]): number => {
  const mean = (of: (p: Place) => number) => places.reduce((sum, p) => sum + of(p), 0) / places.length
  const x0 = mean((p) => p.x)
  const y0 = mean((p) => p.shiftS)
  const slope = mean((p) => (p.x - x0) * (p.shiftS - y0)) / mean((p) => (p.x - x0) ** 2)
  return Math.sqrt(mean((p) => (p.shiftS - y0 - slope * (p.x - x0)) ** 2))
}

/**
 * True when a recording holds an exponential sweep of another pace: the place at which it follows the wanted one then moves
 * steadily with the logarithm of frequency, which no board does.
 *
 * @param options.bodyStart sample of the recording at which the body of the wanted sweep was taken to begin
 */
export const isOtherSweep = (options: {
  sweep: SweepSignal
  phase: SweepPhase
  samples: Float64Array
  bodyStart: number
}): boolean => {
  const { sweep, phase, samples, bodyStart } = options
  const { rateHz, runInS, settings } = sweep
  const reach = Math.round(furthestShiftS * rateHz)
  const places = probesHz.flatMap((frequencyHz): Place[] => {
    if (frequencyHz < settings.fromHz || frequencyHz > settings.toHz) return []
    const passS = runInS + phase.rateS * Math.log(frequencyHz / settings.fromHz)
    const length = Math.round(partLength * Math.sqrt(phase.rateS / frequencyHz) * rateHz)
    const bodyFrom = Math.round(passS * rateHz - length / 2)
    const from = bodyStart + bodyFrom
    if (from < 0 || from + length > samples.length) return []
    const found = bestShift({ phase, part: samples.subarray(from, from + length), bodyFrom, reach })
    if (found.share < matchedShare || Math.abs(found.shift) === reach) return []
    return [{ x: Math.log(frequencyHz), shiftS: found.shift / rateHz }]
  })
  if (places.length < fewestMatched) return false
  const shifts = places.map((place) => place.shiftS)
  const rangeS = Math.max(...shifts) - Math.min(...shifts)
  return rangeS > leastRangeS && distanceFromLine(places) < straightShare * rangeS
}
