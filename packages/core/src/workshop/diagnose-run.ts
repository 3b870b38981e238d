import { BoardwrightError } from '../model/error.ts'
import type { Product } from '../model/product.ts'
import { type Evidence, type FurtherSweep, noEvidence, type RunDiagnosis } from '../model/run-diagnosis.ts'
import { findProduct } from './find-product.ts'
import { measureSetting } from './measure-setting.ts'
import { readSerial } from './register-unit.ts'
import { showTestRun } from './show-test-run.ts'
import { nowOf, type VerbContext, writeJournal } from './verb-context.ts'
import { workOutDiagnosis } from './work-out-diagnosis.ts'
import type { DiagnoseRun } from './workshop.ts'

/**
 * Works out what is wrong with a tested board and keeps it with the run. What earlier diagnoses of the run were told still
 * counts, so that a maker can add one voltage at a time.
 * Errors: bad-argument, bad-serial, not-diagnosable, not-found, setting-unknown, sweep-mismatch.
 */
export async function diagnoseRun(context: VerbContext, what: DiagnoseRun): Promise<RunDiagnosis> {
  const { run, reference } = showTestRun(context, runIdOf(context, what))
  const product = findProduct(context, run.productId, run.revision)
  const known = what.afresh ? undefined : context.store.diagnoses.latest(run.id)
  const evidence = addEvidence(known?.evidence ?? noEvidence, what, product)
  const diagnosis = await workOutDiagnosis({ product, run, reference, evidence })
  return context.store.transaction(() => {
    const at = nowOf(context)
    const { id: runId, serial } = run
    const made = context.store.diagnoses.insert({
      ...{ runId, serial, at, station: context.station, evidence, diagnosis },
    })
    const [first] = diagnosis.suspects
    const suspect = first ? { designators: first.designators, probability: first.probability } : null
    const detail = { diagnosisId: made.id, serial, suspect }
    writeJournal(context, { at, verb: 'diagnose-run', noun: 'test-run', key: runId, detail })
    return made
  })
}

function runIdOf({ store }: VerbContext, { runId, serial }: DiagnoseRun): string {
  if (runId !== undefined) return runId
  if (serial === undefined) throw new BoardwrightError('bad-argument', 'Name a test run or a unit.')
  const unit = store.units.find(readSerial(serial))
  if (!unit) throw new BoardwrightError('not-found', `There is no unit ${serial} in this workshop.`)
  if (unit.lastRunId === null) throw new BoardwrightError('not-diagnosable', `Unit ${unit.serial} was not tested yet.`)
  return unit.lastRunId
}

/** Newer readings take the place of older ones at the same node; further sweeps likewise. */
function addEvidence(known: Evidence, what: DiagnoseRun, product: Product): Evidence {
  const nodeVoltagesV = { ...known.nodeVoltagesV, ...what.nodeVoltagesV }
  for (const [node, volts] of Object.entries(nodeVoltagesV)) {
    refuseUnknownNode(product, node)
    if (!Number.isFinite(volts)) throw new BoardwrightError('bad-argument', `The voltage at "${node}" is no number.`)
  }
  const supplyCurrentA = what.supplyCurrentA ?? known.supplyCurrentA
  if (supplyCurrentA !== null && !(supplyCurrentA >= 0 && supplyCurrentA <= 10))
    throw new BoardwrightError('bad-argument', 'The supply current must lie between 0 and 10 A.')
  const added = (what.recordings ?? []).map((recording) => measureFurther(product, recording, what.sweep))
  const kept = known.sweeps.filter((old) => !added.some((one) => one.setting === old.setting && one.node === old.node))
  return { supplyCurrentA, nodeVoltagesV, sweeps: [...kept, ...added] }
}

type Further = NonNullable<DiagnoseRun['recordings']>[number]

function measureFurther(product: Product, { node, ...recording }: Further, sweep: DiagnoseRun['sweep']): FurtherSweep {
  const { setting, origin } = recording
  if (!product.settings.some(({ name }) => name === setting))
    throw new BoardwrightError('setting-unknown', `${product.name} has no setting "${setting}".`)
  if (node !== undefined) refuseUnknownNode(product, node)
  const { measurement } = measureSetting({ recording, plan: product.testPlan, sweep })
  const { usable, curve, polarity, findings } = measurement
  const refused = findings.find((finding) => finding.severity === 'refuse')
  if (!usable || curve === null)
    throw new BoardwrightError('recording-refused', `${origin}: ${refused?.message ?? 'it has no response curve.'}`)
  return { setting, node: node ?? null, origin, polarity, curve }
}

function refuseUnknownNode({ circuit, name }: Product, node: string): void {
  const nodes = new Set(
    circuit.elements.flatMap((one) => (one.kind === 'op-amp' ? [...one.nodes, ...one.supplyNodes] : one.nodes)),
  )
  if (!nodes.has(node))
    throw new BoardwrightError('bad-argument', `${name} has no node "${node}"; it has ${[...nodes].join(', ')}.`)
}
