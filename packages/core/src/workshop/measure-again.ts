import type { SettingMeasurement, TestRun } from '../model/test-run.ts'
import { type CurveCorrection, valueAt } from '../response/curve/correct-curve.ts'
import { curveFromImpulse } from '../response/curve/curve-from-impulse.ts'
import { gridFrequenciesHz, gridIndexOf1kHz } from '../response/curve/grid.ts'
import { planSweep } from './plan-sweep.ts'
import type { StoredImpulseResponse } from './ports.ts'

/**
 * The measurements of a run, the gain of their curves computed from the impulse responses that are kept. Where the
 * impulse response alone does not make the curve, the curve stays as it is.
 * @param correction what the rig adds, which is taken out
 */
export function measureAgain(
  run: Pick<TestRun, 'sweep' | 'measurements'>,
  responses: readonly StoredImpulseResponse[],
  correction?: CurveCorrection | null,
): SettingMeasurement[] {
  return run.measurements.map((measurement) => {
    const impulse = responses.find((response) => response.setting === measurement.setting && response.makesCurve)
    if (!impulse || !measurement.curve) return measurement
    const sweep = planSweep({ stimulus: run.sweep }, measurement.rateHz)
    const { gainDb: withRigDb, frequencyHz } = curveFromImpulse({ impulse, sweep })
    const gainDb = correction
      ? withRigDb.map((gain, i) => gain - valueAt(correction.frequencyHz, correction.gainDb, frequencyHz[i]))
      : withRigDb
    const gainAt1kHzDb = gainDb[frequencyHz.indexOf(gridFrequenciesHz[gridIndexOf1kHz])] ?? measurement.gainAt1kHzDb
    // Phase has lost its sign, and the uncertainty tells of the recording's noise: both stay as they were measured.
    return { ...measurement, gainAt1kHzDb, curve: { ...measurement.curve, gainDb } }
  })
}
