import { markerDistance } from '../recording/find-markers.ts'
import { type PhaseTrack, phaseTrack } from '../recording/phase-track.ts'
import { repeatShift } from '../recording/repeat-slip.ts'
import { sweepPhase } from '../sweep/sweep-phase.ts'
import type { SweepSignal } from '../sweep/sweep-signal.ts'
import { type SweepClockError, sweepClockError } from './sweep-clock-error.ts'

/** Two sound devices differ by 100 parts in a million at most; more than this is lost samples. */
const largestShare = 250e-6
/** Less than this moves no phase by half a degree. */
const leastShare = 0.2e-6
/** Markers that match less are no measure. */
const leastMatch = 0.9
/** From here on the sweep itself must agree, within half of it: a lost block lies in one place. */
const askedFromShare = 40e-6
/** What the sweep must say when nothing else does: this much, this surely, and hardly anything that a clock does not explain. */
const leastAlone = 4e-6
const largestAlone = 1000e-6
const sureFactor = 6
const largestRestRad = 0.1
const explainedFactor = 4

/**
 * How much slower the clock of the recorder runs than that of the player: 1e-6 is one part in a million, and the recording
 * is that much too short. Read from the distance of the markers, else of the repeats, else from the sweep's own phase.
 * @param options.samples the recorded channel, without hum
 * @param options.offsetSamples where the stimulus begins, good to a few milliseconds
 * @returns 0 where no difference can be told
 */
export function findClockError(options: { sweep: SweepSignal; samples: Float64Array; offsetSamples: number }): number {
  const { sweep, samples, offsetSamples } = options
  const phase = sweepPhase(sweep)
  const track = (body: number): PhaseTrack | null =>
    phase && phaseTrack({ phase, samples, bodyStart: sweep.bodies[body].startSample + offsetSamples })
  const alone = (): SweepClockError | null => {
    const first = track(0)
    return first && sweep.rateS !== null ? sweepClockError(first, sweep.rateS) : null
  }
  const measured = byMarkers(options) ?? byRepeats(sweep, track)
  if (measured === null) {
    const error = alone()
    return error && isCertain(error) ? error.share : 0
  }
  if (Math.abs(measured) < leastShare || Math.abs(measured) > largestShare) return 0
  if (Math.abs(measured) < askedFromShare) return measured
  const error = alone()
  const agrees = !error || error.restRad > largestRestRad || Math.abs(error.share - measured) < 0.5 * Math.abs(measured)
  return agrees ? measured : 0
}

function byMarkers(options: { sweep: SweepSignal; samples: Float64Array; offsetSamples: number }): number | null {
  const { sweep, samples, offsetSamples } = options
  const distance = markerDistance({ sweep, samples, alignment: { offsetSamples, score: 1, bodiesFound: 1 } })
  if (!distance || distance.match < leastMatch) return null
  return distance.lostSamples / (sweep.markers[1].startSample - sweep.markers[0].startSample)
}

function byRepeats(sweep: SweepSignal, track: (body: number) => PhaseTrack | null): number | null {
  const last = sweep.bodies.length - 1
  const first = last > 0 ? track(0) : null
  const second = first && track(last)
  if (!first || !second || first.frequencyHz.length !== second.frequencyHz.length) return null
  const lostSamples = repeatShift({ first, second, rateHz: sweep.rateHz })
  return lostSamples / (sweep.bodies[last].startSample - sweep.bodies[0].startSample)
}

function isCertain({ share, uncertainty, restRad, restWithoutRad }: SweepClockError): boolean {
  const size = Math.abs(share)
  const explained = restRad < largestRestRad && restWithoutRad > explainedFactor * restRad
  return size >= leastAlone && size <= largestAlone && size > sureFactor * uncertainty && explained
}
