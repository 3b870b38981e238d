import type { Diagnosis } from '../model/diagnosis.ts'
import { BoardwrightError } from '../model/error.ts'
import type { Product } from '../model/product.ts'
import type { Reference } from '../model/reference.ts'
import type { Evidence } from '../model/run-diagnosis.ts'
import type { SettingMeasurement, TestRun } from '../model/test-run.ts'

type Diagnose = (options: {
  product: Product
  measurements: readonly SettingMeasurement[]
  reference: Reference
  evidence: Evidence
}) => Diagnosis

/**
 * Asks the diagnosis about a run. The maths is loaded when it is first needed.
 * Errors: not-diagnosable when no recording of the run gave a curve.
 */
export async function workOutDiagnosis(options: {
  product: Product
  run: TestRun
  reference: Reference
  evidence: Evidence
}): Promise<Diagnosis> {
  const { product, run, reference, evidence } = options
  const measurements = run.measurements.filter(({ usable, curve }) => usable && curve !== null)
  if (measurements.length === 0)
    throw new BoardwrightError('not-diagnosable', `No recording of test run ${run.id} gave a curve to go by.`)
  const { diagnose } = (await import('../diagnosis/index.ts')) as unknown as { diagnose: Diagnose }
  return diagnose({ product, measurements, reference, evidence })
}
