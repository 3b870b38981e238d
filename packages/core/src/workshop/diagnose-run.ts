import { BoardwrightError } from '../model/error.ts'
import { noEvidence, type RunDiagnosis } from '../model/run-diagnosis.ts'
import { collectEvidence } from './collect-evidence.ts'
import { findProduct } from './find-product.ts'
import { readSerial } from './register-unit.ts'
import { rigOf } from './rig/find-rig.ts'
import { showTestRun } from './show-test-run.ts'
import { nowOf, type VerbContext, writeJournal } from './verb-context.ts'
import { workOutDiagnosis } from './work-out-diagnosis.ts'
import type { DiagnoseRun } from './workshop.ts'

/**
 * Works out what is wrong with a tested board and keeps it with the run. What earlier diagnoses of the run were told still
 * counts, so that a maker can add one voltage at a time.
 * Errors: bad-argument, bad-serial, not-diagnosable, not-found, part-unknown, recording-refused, setting-unknown,
 * sweep-mismatch.
 */
export async function diagnoseRun(context: VerbContext, what: DiagnoseRun): Promise<RunDiagnosis> {
  const { run, reference } = showTestRun(context, runIdOf(context, what))
  const product = findProduct(context, run.productId, run.revision)
  const known = what.afresh ? undefined : context.store.diagnoses.latest(run.id)
  const evidence = collectEvidence(product, known?.evidence ?? noEvidence, {
    ...what,
    through: rigOf(context, run.rigSettings),
  })
  const diagnosis = await workOutDiagnosis({ product, run, reference, evidence })
  const { id: runId, serial } = run
  return context.store.transaction(() => {
    const at = nowOf(context)
    const made = { runId, serial, at, station: context.station, evidence, diagnosis }
    const kept = context.store.diagnoses.insert(made)
    const [first] = diagnosis.suspects
    const suspect = first ? { designators: first.designators, probability: first.probability } : null
    const detail = { diagnosisId: kept.id, serial, suspect }
    writeJournal(context, { at, verb: 'diagnose-run', noun: 'test-run', key: runId, detail })
    return kept
  })
}

function runIdOf({ store }: VerbContext, { runId, serial }: DiagnoseRun): string {
  if (runId !== undefined) {
    const run = store.testRuns.summary(runId)
    if (run && serial !== undefined && run.serial !== readSerial(serial))
      throw new BoardwrightError('bad-argument', `Test run ${runId} is one of unit ${run.serial}, not of ${serial}.`)
    return runId
  }
  if (serial === undefined) throw new BoardwrightError('bad-argument', 'Name a test run or a unit.')
  const unit = store.units.find(readSerial(serial))
  if (!unit) throw new BoardwrightError('not-found', `There is no unit ${serial} in this workshop.`)
  if (unit.lastRunId === null) throw new BoardwrightError('not-diagnosable', `Unit ${unit.serial} was not tested yet.`)
  return unit.lastRunId
}
