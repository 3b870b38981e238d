import { BoardwrightError } from '../model/error.ts'
import type { TestPlan } from '../model/product.ts'
import type { RigSettings } from '../model/rig.ts'
import type { SettingMeasurement } from '../model/test-run.ts'
import { measureRecording } from '../response/curve/measure-recording.ts'
import type { SweepSignal } from '../response/sweep/sweep-signal.ts'
import { measureAgain } from './measure-again.ts'
import { planSweep } from './plan-sweep.ts'
import type { StoredImpulseResponse } from './ports.ts'
import type { SettingRecording } from './workshop.ts'

/** One recording, measured: what is judged, and what is kept so that it can be computed again. */
export interface MeasuredSetting {
  measurement: SettingMeasurement
  impulseResponses: StoredImpulseResponse[]
  /** The stimulus it was measured with. */
  sweep: SweepSignal
}

/** The frequency at which the gain of a board is told, Hz. */
const gainToldAtHz = 1000

/**
 * Measures one recording of a board at one setting.
 * @param options.sweep what was played; by default the test plan's stimulus at the recording's rate
 * @param options.through the settings of the rig; its correction is taken out of the curve
 * Errors: bad-argument (channel), sweep-mismatch when the sweep leaves out 1 kHz.
 */
export function measureSetting(options: {
  recording: SettingRecording
  plan: TestPlan
  sweep?: SweepSignal
  loopBackChannel?: number
  through?: RigSettings
}): MeasuredSetting {
  const { plan, loopBackChannel } = options
  const correction = options.through?.correction ?? undefined
  const { audio, origin, setting } = options.recording
  const sweep = options.sweep ?? planSweep(plan, audio.rateHz)
  const { fromHz, toHz } = sweep.settings
  if (fromHz > gainToldAtHz || toHz < gainToldAtHz)
    throw new BoardwrightError('sweep-mismatch', `The sweep runs from ${fromHz} to ${toHz} Hz and leaves out 1 kHz.`)
  const { impulse, ...measured } = measureRecording({
    sweep,
    recording: audio,
    loopBackChannel,
    correction,
    wantedUncertaintyDb: plan.wantedUncertaintyDb,
  })
  const makesCurve = loopBackChannel === undefined && sweep.settings.repeats === 1 && isMadeSweep(sweep)
  const kept = impulse ? [{ ...impulse, samples: impulse.samples.map(Math.fround), setting, makesCurve }] : []
  const measurement: SettingMeasurement = {
    setting,
    origin,
    rateHz: audio.rateHz,
    usable: measured.usable,
    findings: measured.findings,
    delayS: measured.delayS,
    polarity: measured.polarity,
    gainAt1kHzDb: measured.gainAt1kHzDb,
    curve: measured.curve,
    distortion: measured.distortion,
    noise: measured.noise,
  }
  // The verdict is to stand on what is kept, to the last bit, so the curve is made of that from the beginning.
  const [judged] = measureAgain({ sweep: sweep.settings, measurements: [measurement] }, kept, correction)
  return { sweep, measurement: judged, impulseResponses: kept }
}

/** One step of a 16-bit file: a stimulus read from a file is still the same stimulus. */
const sampleStep = 2 ** -15

/** True when the stimulus can be made again from its settings, as computing the curve again needs. */
function isMadeSweep(sweep: SweepSignal): boolean {
  if (sweep.rateS === null) return false
  const made = planSweep({ stimulus: sweep.settings }, sweep.rateHz)
  return (
    made === sweep ||
    (made.samples.length === sweep.samples.length &&
      made.samples.every((value, i) => Math.abs(value - sweep.samples[i]) <= sampleStep))
  )
}
