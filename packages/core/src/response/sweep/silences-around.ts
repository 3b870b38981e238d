import type { SweepSignal } from './sweep-signal.ts'

/** Silence that covers what a sound system does at the start and the end of a sound, s. Source: own trials (AUDIO). */
const wantedS = { before: 0.3, after: 0.5 }

/**
 * Silence that must still be played before and after a stimulus, s: what it does not bring along of 0.3 s before its first
 * sound and 0.5 s after its last.
 */
export function silencesAround({ samples, rateHz, bodies, markers }: SweepSignal) {
  const spans = [...bodies, ...markers]
  const first = Math.min(...spans.map((span) => span.startSample))
  const last = Math.max(...spans.map((span) => span.endSample))
  return {
    silenceBeforeS: Math.max(0, wantedS.before - first / rateHz),
    silenceAfterS: Math.max(0, wantedS.after - (samples.length - last) / rateHz),
  }
}
