import type { SweepSignal } from '../sweep/sweep-signal.ts'
import type { WaveAudio } from '../wave/wave-format.ts'
import { measureRecording } from './measure-recording.ts'

/** Amplitude and frequency of the hum on the practice recording, full scale = 1 and Hz. */
const humAmplitude = 1e-3
const humHz = 50
/** The recorder is started this long before the stimulus, s. */
const earlyS = 0.1

/**
 * A recording to practise on: the stimulus itself with a little mains hum, so that every part of the measurement has its
 * work to do.
 */
export const practiceRecording = ({ samples, rateHz }: SweepSignal): WaveAudio => {
  const turn = (2 * Math.PI * humHz) / rateHz
  const early = Math.round(earlyS * rateHz)
  const hummed = new Float64Array(early + samples.length)
  hummed.set(samples, early)
  for (let i = 0; i < hummed.length; i++) hummed[i] += humAmplitude * Math.sin(turn * i)
  return { rateHz, channels: [hummed], sampleFormat: 'float64', bits: 64, truncated: false }
}

/**
 * Gets everything ready that does not depend on the recording, so that the first verdict comes as quickly as the later ones:
 * call it while the sweep is being played. It measures a practice recording and throws the result away.
 */
export const prepareMeasurement = (sweep: SweepSignal): void => {
  measureRecording({ sweep, recording: practiceRecording(sweep) })
}
