import { BoardwrightError } from '../model/error.ts'
import type { Product } from '../model/product.ts'
import type { Reference } from '../model/reference.ts'
import { type RigSettings, rigVersionOf } from '../model/rig.ts'
import { rigKindOf } from '../model/rig-check.ts'
import type { TestRun } from '../model/test-run.ts'
import { testableStates, type Unit, type UnitState } from '../model/unit.ts'
import type { Verdict } from '../model/verdict.ts'
import { planHash } from '../response/judge/plan-hash.ts'
import {
  needEverySetting,
  refuseRepeatedSettings,
  refuseSameRecording,
  refuseUnknownSettings,
} from './check-recordings.ts'
import { currentReference } from './current-reference.ts'
import { withoutExpectedPolarity } from './expected-polarity.ts'
import { findProduct } from './find-product.ts'
import { withRigUncertainty } from './gauge-study/with-rig-uncertainty.ts'
import { failedPressedHard } from './hard/failed-pressed-hard.ts'
import { judgeRun } from './judge-run.ts'
import { measureOnce } from './measure-ahead.ts'
import type { MeasuredSetting } from './measure-setting.ts'
import { insertUnit, readSerial, refuseReferenceBoard } from './register-unit.ts'
import { refuseOtherCorrection, rigOf } from './rig/find-rig.ts'
import { refuseDrifted } from './rig-check/refuse-drifted.ts'
import { makeRunId } from './run-id.ts'
import { nowOf, type VerbContext, writeJournal } from './verb-context.ts'
import type { RecordedTestRun, RecordTestRun } from './workshop.ts'

/**
 * Measures, judges and stores one visit of a unit to the rig. A serial number not seen before becomes a new unit. The
 * measuring is done before the write transaction begins, so that other programs wait for milliseconds only.
 * Errors: bad-argument, bad-serial, correction-differs, no-reference, not-found, recording-twice, setting-missing,
 * setting-unknown, rig-drifted, sweep-mismatch, unit-not-testable.
 */
export function recordTestRun(context: VerbContext, what: RecordTestRun): RecordedTestRun {
  const startedAt = context.clock.now()
  const serial = readSerial(what.serial)
  refuseReferenceBoard(serial)
  const { product, reference, rig } = context.store.snapshot(() => prepare(context, serial, what))
  refuseRepeatedSettings(what.recordings)
  refuseUnknownSettings(product, what.recordings)
  needEverySetting(product, what.recordings)
  refuseSameRecording(what.recordings)
  const measured = what.recordings.map((recording) =>
    measureOnce({ ...what, recording, plan: product.testPlan, through: rig }),
  )
  const measurements = withoutExpectedPolarity(
    measured.map((m) => m.measurement),
    reference,
  )
  const on = { productId: product.id, rig: rigKindOf(what.rig) }
  const rigUncertainty = context.store.rigUncertainties.inForce(on) ?? null
  const judgedBy = withRigUncertainty(product, rigUncertainty)
  const plan = judgedBy.testPlan
  const judgement = judgeRun({ product: judgedBy, reference, measurements })
  const draft: Omit<TestRun, 'id'> = {
    serial,
    productId: product.id,
    revision: product.revision,
    startedAt: startedAt.toISOString(),
    station: context.station,
    rig: what.rig,
    rigSettings: what.rigSettings ? rigVersionOf(what.rigSettings) : null,
    rigUncertainty,
    sweep: measured[0].sweep.settings,
    referenceVersion: reference.version,
    planHash: planHash({ plan, reference }),
    verdict: judgement.verdict,
    judgement,
    measurements,
  }
  return context.store.transaction(() => store(context, { draft, startedAt, product, measured }))
}

/** What the run will be judged by; also finds out what must be refused before the rig's work is analysed. */
function prepare(
  context: VerbContext,
  serial: string,
  what: RecordTestRun,
): { product: Product; reference: Reference; rig: RigSettings | undefined } {
  const unit = context.store.units.find(serial)
  if (unit) refuseUntestable(unit)
  const product = unit ? findProduct(context, unit.productId, unit.revision) : findProduct(context, what.productId)
  refuseDrifted(context, { productId: product.id, rig: what.rig })
  const reference = currentReference(context, product)
  if (!reference)
    throw new BoardwrightError('no-reference', `${product.name} revision ${product.revision} has no reference yet.`)
  const rig = rigOf(context, what.rigSettings)
  refuseOtherCorrection(context, { reference, rig })
  return { product, reference, rig }
}

function refuseUntestable(unit: Unit): void {
  if (!testableStates.includes(unit.state))
    throw new BoardwrightError('unit-not-testable', `Unit ${unit.serial} is ${unit.state}, so it cannot be tested.`)
}

/**
 * The state after a verdict. A repeat tells nothing new, so the state stays; but a unit on the shelf whose last verdict
 * is not a pass must not leave (invariant 1), so it goes back to the untested ones. One that failed when it was pressed
 * hard is not ready by a sweep alone.
 */
function stateAfter(state: UnitState, verdict: Verdict, failedHard: boolean): UnitState {
  if (verdict === 'pass') return failedHard ? 'failed' : 'ready'
  if (verdict === 'fail') return 'failed'
  return state === 'ready' ? 'untested' : state
}

function store(
  context: VerbContext,
  what: { draft: Omit<TestRun, 'id'>; startedAt: Date; product: Product; measured: readonly MeasuredSetting[] },
): RecordedTestRun {
  const { draft, product, measured } = what
  const { serial, verdict } = draft
  // Another program may have registered, promised or shipped it while this one measured.
  const known = context.store.units.find(serial)
  if (known) refuseUntestable(known)
  refuseDrifted(context, draft)
  const before = known ?? insertUnit(context, { serial, product })
  const journalSeq = context.store.journal.lastSeq()
  const id = makeRunId({ at: what.startedAt, serial, journalSeq })
  context.store.testRuns.insert({
    run: { id, ...draft },
    impulseResponses: measured.flatMap((m) => m.impulseResponses),
  })
  const at = nowOf(context)
  const state = stateAfter(before.state, verdict, failedPressedHard(context.store, serial))
  const unit: Unit = { ...before, state, lastRunId: id, updatedAt: at }
  context.store.units.update(unit)
  const verb = 'record-test-run'
  const { rig, rigSettings, referenceVersion } = draft
  const ofRun = { serial, verdict, rig, rigSettings, referenceVersion }
  writeJournal(context, { at, verb, noun: 'test-run', key: id, detail: ofRun })
  const detail = { runId: id, verdict, from: before.state, to: unit.state }
  writeJournal(context, { at, verb, noun: 'unit', key: serial, detail })
  const run = context.store.testRuns.find(id)
  if (!run) throw new Error(`test run ${id} was not stored`)
  return { run, unit, newUnit: known === undefined }
}
