import { BoardwrightError } from '../model/error.ts'
import { type Rework, ReworkEntry, reworkableStates } from '../model/rework.ts'
import type { Unit } from '../model/unit.ts'
import { refuseUnknownPart } from './board-parts.ts'
import { lotForRework, takeForRework } from './build/take-for-rework.ts'
import { findProduct } from './find-product.ts'
import { readSerial } from './register-unit.ts'
import { nowOf, type VerbContext, writeJournal } from './verb-context.ts'
import type { RecordRework } from './workshop.ts'

/**
 * Records what was replaced or redone on one part of a unit. Whatever its last verdict was, the unit is off the shelf by
 * that: it goes through `rework` to `untested`, or stays in `rework` while it is not finished (invariant 1).
 * Where `lot` names a lot of the workshop, the new part is taken out of its stock and the unit's trace names it.
 * Errors: bad-argument, bad-serial, lot-not-usable, not-found, part-unknown, stock-short, unit-not-reworkable.
 */
export function recordRework(context: VerbContext, what: RecordRework): { rework: Rework; unit: Unit } {
  const serial = readSerial(what.serial)
  const entry = readEntry(what)
  const { store, station } = context
  return store.transaction(() => {
    const before = store.units.find(serial)
    if (!before) throw new BoardwrightError('not-found', `There is no unit ${serial} in this workshop.`)
    if (!reworkableStates.includes(before.state))
      throw new BoardwrightError('unit-not-reworkable', `Unit ${serial} is ${before.state}, so it cannot be reworked.`)
    const product = findProduct(context, before.productId, before.revision)
    refuseUnknownPart(product, entry.designator)
    const at = nowOf(context)
    const [last] = store.testRuns.ofUnit(serial)
    const { designator, action, note } = entry
    const taking = lotForRework(context, { product, designator, action, lot: entry.lot ?? null })
    const { part = taking?.part ?? null, lot = null } = entry
    const diagnosisId = last ? (store.diagnoses.latestId(last.id) ?? null) : null
    const taken: Unit = { ...before, state: 'rework', updatedAt: at }
    store.units.update(taken)
    const made = { serial, at, station, designator, action, part, lot, note, diagnosisId }
    const rework = store.reworks.insert({ ...made, afterRunId: last?.id ?? null })
    if (taking) takeForRework(context, { rework, lot: taking })
    const unit: Unit = { ...taken, state: entry.finished ? 'untested' : 'rework' }
    store.units.update(unit)
    const verb = 'record-rework'
    const key = String(rework.id)
    const ofRework = { serial, designator, action, part, lot, afterRunId: rework.afterRunId, diagnosisId }
    writeJournal(context, { at, verb, noun: 'rework', key, detail: ofRework })
    const detail = { reworkId: rework.id, designator, action, from: before.state, to: unit.state }
    writeJournal(context, { at, verb, noun: 'unit', key: serial, detail })
    return { rework, unit }
  })
}

function readEntry(what: RecordRework) {
  const parsed = ReworkEntry.safeParse(what)
  if (parsed.success) return parsed.data
  const [issue] = parsed.error.issues
  throw new BoardwrightError('bad-argument', `The rework is not right at ${issue.path.join('.')}: ${issue.message}.`)
}
