import type { SweepSignal } from '../sweep/sweep-signal.ts'

/** A stretch of time, s from the start of the recording. */
export interface TimeSpan {
  startS: number
  endS: number
}

/** How long a board rings on after a sound: so many s, and so many cycles of the frequency that is looked at. */
const ringS = 0.1
const ringCycles = 4
/** After a marker, or a sound of another kind, s. */
const tailS = 0.15

/**
 * The times of a recording in which the stimulus leaves one frequency alone: before a sweep, and from the moment that the
 * sweep has risen clear of it, for no circuit makes lower frequencies of higher ones. Before that moment harmonics of the
 * sweep may stand there.
 *
 * @param options.clearHz how far above the frequency the sweep must have risen
 */
export const quietTimes = (options: {
  sweep: SweepSignal
  offsetSamples: number
  durationS: number
  frequencyHz: number
  clearHz: number
}): TimeSpan[] => {
  const { sweep, offsetSamples, durationS, frequencyHz, clearHz } = options
  const { rateHz, rateS, runInS, settings } = sweep
  const atS = (sample: number) => (sample + offsetSamples) / rateHz
  const loud = sweep.markers.map((span) => ({ startS: atS(span.startSample), endS: atS(span.endSample) + tailS }))
  for (const body of sweep.bodies) {
    const startS = atS(body.startSample)
    const bodyEndS = atS(body.endSample)
    const risenS = rateS === null ? Infinity : runInS + rateS * Math.log((frequencyHz + clearHz) / settings.fromHz)
    const passedS = Math.min(startS + Math.max(0, risenS), bodyEndS)
    loud.push({ startS, endS: passedS + ringS + ringCycles / frequencyHz })
  }
  loud.sort((a, b) => a.startS - b.startS)
  const spans: TimeSpan[] = []
  let from = 0
  for (const { startS, endS } of [...loud, { startS: durationS, endS: durationS }]) {
    if (startS > from) spans.push({ startS: from, endS: Math.min(startS, durationS) })
    from = Math.max(from, endS)
  }
  return spans
}
