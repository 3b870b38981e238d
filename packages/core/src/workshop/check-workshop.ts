import { isBoardwrightError } from '../model/error.ts'
import type { Unit } from '../model/unit.ts'
import { failedPressedHard } from './hard/failed-pressed-hard.ts'
import { hardVerdictDifference } from './hard/show-hard-run.ts'
import type { Store } from './ports.ts'
import { verdictDifference } from './verdict-difference.ts'
import type { CheckReport, WorkshopFinding } from './workshop.ts'

/**
 * Proves the file: its structure and foreign keys, the journal without gap or change, every row readable, every verdict
 * computed again from the stored impulse responses and equal, every unit in a state that its last verdict allows.
 */
export function checkWorkshop({ store }: { store: Store }): CheckReport {
  return store.snapshot(() => {
    const findings: WorkshopFinding[] = [...store.defects()]
    const isReadable = findings.every((f) => f.code !== 'file-structure' && f.code !== 'row-not-readable')
    const units = isReadable ? store.units.list({}) : []
    const runs = isReadable ? store.testRuns.ids() : []
    for (const unit of units) findings.push(...stateDifference(store, unit))
    for (const id of runs) findings.push(...checkRun(store, id))
    if (isReadable) for (const id of store.hardRuns.ids()) findings.push(...checkHardRun(store, id))
    return {
      ok: findings.length === 0,
      findings,
      unitsChecked: units.length,
      runsChecked: runs.length,
      journalEntries: isReadable ? store.journal.lastSeq() : 0,
    }
  })
}

function checkRun(store: Store, id: string): WorkshopFinding[] {
  try {
    store.diagnoses.latest(id)
    const message = verdictDifference({ store }, id)
    return message === undefined ? [] : [{ code: 'verdict-differs', message }]
  } catch (error) {
    if (!isBoardwrightError(error)) throw error
    return [{ code: 'row-not-readable', message: error.message }]
  }
}

function checkHardRun(store: Store, id: string): WorkshopFinding[] {
  const message = hardVerdictDifference({ store }, id)
  return message === undefined ? [] : [{ code: 'verdict-differs', message }]
}

function stateDifference(store: Store, unit: Unit): WorkshopFinding[] {
  const [last] = store.testRuns.ofUnit(unit.serial)
  const finding = (message: string): WorkshopFinding[] => [{ code: 'state-differs', message }]
  if ((last?.id ?? null) !== unit.lastRunId)
    return finding(`Unit ${unit.serial} names ${unit.lastRunId ?? 'no run'} as its last, but that is ${last?.id}.`)
  const needsPass = unit.state === 'ready' || unit.state === 'reserved' || unit.state === 'shipped'
  if (needsPass && last?.verdict !== 'pass')
    return finding(`Unit ${unit.serial} is ${unit.state}, but its last verdict is ${last?.verdict ?? 'none'}.`)
  if (needsPass && failedPressedHard(store, unit.serial))
    return finding(`Unit ${unit.serial} is ${unit.state}, but it failed when it was pressed hard.`)
  const [rework] = store.reworks.ofUnit(unit.serial)
  if (needsPass && rework && rework.afterRunId === (last?.id ?? null))
    return finding(`Unit ${unit.serial} is ${unit.state}, but ${rework.designator} was reworked after its last test.`)
  return []
}
