import { BoardwrightError } from '../../model/error.ts'
import type { HardReference, HardRun } from '../../model/hard-run.ts'
import type { Product } from '../../model/product.ts'
import { rigVersionOf } from '../../model/rig.ts'
import { testableStates, type Unit, type UnitState } from '../../model/unit.ts'
import { findProduct } from '../find-product.ts'
import { readSerial } from '../register-unit.ts'
import { makeRunId } from '../run-id.ts'
import { nowOf, type VerbContext, writeJournal } from '../verb-context.ts'
import { currentHardReference } from './current-hard-reference.ts'
import { planWithHard } from './hard-plan-of.ts'
import type { RecordedHardRun, RecordHardRun } from './hard-verbs.ts'
import { hardPlanHash, judgeHardRun } from './judge-hard-run.ts'
import { measureSupplies } from './measure-supplies.ts'

/**
 * Measures, judges and stores one visit of a unit that is pressed hard. A recording that proves nothing gives `repeat`. A
 * unit on the shelf that fails leaves it.
 * Errors: bad-serial, no-hard-plan, no-hard-reference, not-found, supply-missing, unit-not-testable.
 */
export function recordHardRun(context: VerbContext, what: RecordHardRun): RecordedHardRun {
  const startedAt = context.clock.now()
  const serial = readSerial(what.serial)
  const { product, reference } = context.store.snapshot(() => prepare(context, serial))
  const plan = planWithHard(product)
  const signature = measureSupplies(plan, what.recordings, what.rigSettings?.calibration)
  const judgement = judgeHardRun({ product, reference, signature })
  const draft: Omit<HardRun, 'id'> = {
    serial,
    productId: product.id,
    revision: product.revision,
    startedAt: startedAt.toISOString(),
    station: context.station,
    rig: what.rig,
    rigSettings: what.rigSettings ? rigVersionOf(what.rigSettings) : null,
    referenceVersion: reference.version,
    planHash: hardPlanHash({ product, reference }),
    verdict: judgement.verdict,
    judgement,
    signature,
  }
  return context.store.transaction(() => keep(context, draft, startedAt))
}

function prepare(context: VerbContext, serial: string): { product: Product; reference: HardReference } {
  const unit = needTestable(context, serial)
  const product = findProduct(context, unit.productId, unit.revision)
  planWithHard(product)
  const reference = currentHardReference(context, product)
  if (!reference)
    throw new BoardwrightError(
      'no-hard-reference',
      `The reference board of ${product.name} revision ${product.revision} has not been pressed hard yet.`,
    )
  return { product, reference }
}

/** The unit, in a state in which it can be on the rig. Errors: not-found, unit-not-testable. */
function needTestable({ store }: Pick<VerbContext, 'store'>, serial: string): Unit {
  const unit = store.units.find(serial)
  if (!unit) throw new BoardwrightError('not-found', `There is no unit ${serial} in this workshop.`)
  if (!testableStates.includes(unit.state))
    throw new BoardwrightError('unit-not-testable', `Unit ${serial} is ${unit.state}, so it cannot be pressed hard.`)
  return unit
}

/** A fail takes a unit off the shelf; a pass puts back one that was taken off it by nothing else. */
function stateAfter({ store }: VerbContext, unit: Unit, verdict: HardRun['verdict']): UnitState {
  if (verdict === 'fail' && unit.state === 'ready') return 'failed'
  const sweepPassed = unit.lastRunId !== null && store.testRuns.summary(unit.lastRunId)?.verdict === 'pass'
  return verdict === 'pass' && unit.state === 'failed' && sweepPassed ? 'ready' : unit.state
}

function keep(context: VerbContext, draft: Omit<HardRun, 'id'>, startedAt: Date): RecordedHardRun {
  const { store } = context
  const { serial, verdict, rig, rigSettings, referenceVersion } = draft
  // Another program may have promised or shipped it while this one measured.
  const before = needTestable(context, serial)
  const id = makeRunId({ at: startedAt, serial: `${serial} hard`, journalSeq: store.journal.lastSeq() })
  const run: HardRun = { id, ...draft }
  store.hardRuns.insert(run)
  const at = nowOf(context)
  const unit: Unit = { ...before, state: stateAfter(context, before, verdict), updatedAt: at }
  store.units.update(unit)
  const verb = 'record-hard-run'
  writeJournal(context, {
    at,
    verb,
    noun: 'hard-run',
    key: id,
    detail: { serial, verdict, rig, rigSettings, referenceVersion },
  })
  const detail = { hardRunId: id, verdict, from: before.state, to: unit.state }
  writeJournal(context, { at, verb, noun: 'unit', key: serial, detail })
  return { run, unit }
}
