import type { SettingMeasurement, TestRun } from '../model/test-run.ts'
import type { Judgement } from '../model/verdict.ts'
import { gridFrequenciesHz, gridIndexOf1kHz } from '../response/grid.ts'
import { curveFromImpulse } from '../response/impulse.ts'
import { judge } from '../response/judge.ts'
import { findProduct } from './find-product.ts'
import { planSweep } from './plan-sweep.ts'
import type { StoredImpulseResponse } from './ports.ts'
import { showTestRun } from './show-test-run.ts'
import type { VerbContext } from './verb-context.ts'

/**
 * Computes the judgement of a run again from what is stored: the curve from the impulse response, then the judge with the
 * reference version and the frozen test plan of the run. Distortion, noise and findings are the stored ones, for the
 * recording itself is not kept; so is a curve that came of several sweeps or of a loop-back.
 * Errors: not-found, file-damaged.
 */
export function rejudge(context: Pick<VerbContext, 'store'>, id: string): Judgement {
  const { store } = context
  return store.snapshot(() => {
    const { run, reference } = showTestRun(context, id)
    const { testPlan: plan } = findProduct(context, run.productId, run.revision)
    return judge({ plan, reference, measurements: measureAgain(run, store.testRuns.impulseResponses(id)) })
  })
}

/** The measurements of a run with their curves computed again. */
export function measureAgain(run: TestRun, responses: readonly StoredImpulseResponse[]): SettingMeasurement[] {
  return run.measurements.map((measurement) => {
    const impulse = responses.find((response) => response.setting === measurement.setting && response.makesCurve)
    if (!impulse || !measurement.curve) return measurement
    const { gainDb, frequencyHz } = curveFromImpulse({
      impulse,
      sweep: planSweep({ stimulus: run.sweep }, measurement.rateHz),
    })
    const gainAt1kHzDb = gainDb[frequencyHz.indexOf(gridFrequenciesHz[gridIndexOf1kHz])] ?? measurement.gainAt1kHzDb
    // The uncertainty tells of the noise in the recording, which is not kept.
    return { ...measurement, gainAt1kHzDb, curve: { ...measurement.curve, frequencyHz, gainDb } }
  })
}
