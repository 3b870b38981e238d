import { measureRecording } from './measure-recording.ts'
import type { SweepSignal } from './sweep-signal.ts'

/**
 * Gets everything ready that does not depend on the recording, so that the first verdict comes as quickly as the later ones:
 * call it while the sweep is being played. It measures the stimulus itself and throws the result away.
 */
export const prepareMeasurement = (sweep: SweepSignal): void => {
  measureRecording({
    sweep,
    recording: { rateHz: sweep.rateHz, channels: [sweep.samples], sampleFormat: 'float64', bits: 64, truncated: false },
  })
}
