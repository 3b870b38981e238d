import type { Noise, ResponseCurve } from '../../model/response-curve.ts'
import type { Hum } from '../hum/find-hum.ts'
import type { SweepSignal } from '../sweep/sweep-signal.ts'
import type { WaveAudio } from '../wave/wave-format.ts'

/** Where the stimulus stands in a recording. */
export interface Alignment {
  /**
   * Sample of the recording at which sample 0 of `sweep.samples` arrives, to the nearest sample; negative when the
   * recording began after the stimulus did.
   */
  offsetSamples: number
  /** Part of the deconvolved energy that stands around the impulse: near 1 for a sweep, under 0.1 for anything else. */
  score: number
  /** Repeats of the sweep whose impulse was found. */
  bodiesFound: number
}

/** What was measured from the recording before it is judged fit for use. */
interface MeasuredSoFar {
  /** null when no curve could be made. */
  curve: ResponseCurve | null
  noise: Noise | null
  polarity: 1 | -1
  /** The deconvolved response; `zeroIndex` is the sample of no delay. */
  impulse: ImpulseResponse | null
  /** The hum that was taken out before the curve was made. */
  hum: Hum | null
  /** The samples without it, read at the player's speed; null when the sweep was not found. */
  withoutHum: Float64Array | null
  /** Largest standard uncertainty that is left of it, among the points that must be certain, dB. */
  humLeftDb: number
  /** Share by which the recorder's clock was found to run slow, and which was taken out; see `findClockError`. */
  clockError: number
}

/** A windowed linear impulse response. */
export interface ImpulseResponse {
  rateHz: number
  samples: Float64Array
  /** Index of the moment the pure delay ends (may lie between samples). */
  zeroIndex: number
  /** Mean |noise|^2 per second of window width, per grid point; the choice of window depends on it. */
  noise: Float64Array
}

/** Everything a recording check may look at. */
export interface RecordingView {
  sweep: SweepSignal
  recording: WaveAudio
  /** Which channel of the recording carries the response. */
  channel: number
  /** Samples of that channel, full scale = 1. */
  samples: Float64Array
  /** The channel with the stimulus looped back, or null. */
  loopBackChannel: number | null
  loopBack: Float64Array | null
  /** null when the sweep was not found at all (silence, or shorter than anything usable). */
  alignment: Alignment | null
  /** Largest standard uncertainty the judge can live with, dB. */
  wantedUncertaintyDb: number
  measured: MeasuredSoFar
}
