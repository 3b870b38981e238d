import type { DiagnoseOptions } from '../diagnosis/diagnose.ts'
import type { Diagnosis } from '../model/diagnosis.ts'
import { BoardwrightError, isBoardwrightError } from '../model/error.ts'
import type { Product } from '../model/product.ts'
import type { Reference } from '../model/reference.ts'
import type { Evidence } from '../model/run-diagnosis.ts'
import type { TestRun } from '../model/test-run.ts'

/**
 * Asks the diagnosis about a run. The maths is loaded when it is first needed.
 * Errors: not-diagnosable when no recording of the run tells anything.
 */
export async function workOutDiagnosis(options: {
  product: Product
  run: TestRun
  reference: Reference
  evidence: Evidence
}): Promise<Diagnosis> {
  const { product, run, reference, evidence } = options
  const { supplyCurrentA, nodeVoltagesV, sweeps, soundParts, faultyParts } = evidence
  const further = sweeps.filter(({ node }) => node === null).map(({ measurement }) => measurement)
  const known: DiagnoseOptions = {
    product,
    reference,
    // A setting that was swept again counts once, as it was swept last.
    measurements: [...run.measurements.filter((one) => !further.some((f) => f.setting === one.setting)), ...further],
    probes: sweeps.flatMap(({ node, measurement }) => (node === null ? [] : [{ node, measurement }])),
    nodeVoltagesV,
    soundParts,
    faultyParts,
    ...(supplyCurrentA === null ? {} : { supplyCurrentA }),
  }
  const { diagnose } = await import('../diagnosis/diagnose.ts')
  try {
    return diagnose(known)
  } catch (cause) {
    if (!isBoardwrightError(cause) || cause.code !== 'bad-argument') throw cause
    throw new BoardwrightError('not-diagnosable', `Test run ${run.id} has nothing to go by: ${cause.message}`, {
      cause,
    })
  }
}
