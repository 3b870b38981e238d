import type { Finding } from '../../model/finding.ts'
import type { Distortion, Noise, ResponseCurve } from '../../model/response-curve.ts'
import type { ImpulseResponse } from '../recording/recording-view.ts'
import type { SweepSignal } from '../sweep/sweep-signal.ts'
import type { WaveAudio } from '../wave/wave-format.ts'
import type { CurveCorrection } from './correct-curve.ts'

/** What a measurement is made from. */
export interface MeasureOptions {
  /** The stimulus that was played. */
  sweep: SweepSignal
  recording: WaveAudio
  /** Channel with the response, counted from 0; the first one that is not the loop-back when left out. */
  channel?: number
  /** Channel with the stimulus looped back: the response is then taken over it. */
  loopBackChannel?: number
  /** Gain and phase of the rig, to be taken out. */
  correction?: CurveCorrection
  /** Largest standard uncertainty (dB, k = 1) that the judge can live with; 0.1 when left out. */
  wantedUncertaintyDb?: number
}

/** What one recording gave. */
export interface Measurement {
  /** False when a finding refuses the recording: measure again, judge nothing by it. */
  usable: boolean
  findings: Finding[]
  /** Gain is relative to the stimulus file; null when no curve could be made. */
  curve: ResponseCurve | null
  distortion: Distortion | null
  noise: Noise | null
  /** NaN-free: null without a curve or when 1 kHz lies outside the sweep's band. */
  gainAt1kHzDb: number | null
  /**
   * Pure delay taken out of the phase, s: from the start of the recording to the arrival of the stimulus file's first
   * sample, or against the loop-back.
   */
  delayS: number
  polarity: 1 | -1
  impulse: ImpulseResponse | null
  /** Sample of the recording at which the stimulus file's first sample arrives; null when it was not found. */
  offsetSamples: number | null
  /** One curve per repeat, when there are several. */
  perRepeat?: ResponseCurve[]
}
