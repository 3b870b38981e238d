import { type Build, boardSteps, doneSteps, WorkMark } from '../../model/build.ts'
import { BoardwrightError } from '../../model/error.ts'
import type { Unit } from '../../model/unit.ts'
import { readSerial } from '../register-unit.ts'
import { nowOf, type VerbContext, writeJournal } from '../verb-context.ts'
import type { BuildDetail, RecordWork } from './build-verbs.ts'
import { findBuild, showBuild } from './show-build.ts'

/**
 * Records a work step of one unit or of several, a row each, in one transaction: what was recorded survives a power cut. A
 * unit whose board steps are all done becomes `untested`. A step that is done already is not recorded again.
 * Errors: bad-argument, bad-serial, not-found, step-not-possible.
 */
export function recordWork(context: VerbContext, what: RecordWork): BuildDetail {
  const entry = readEntry(what)
  const { store } = context
  return store.transaction(() => {
    const build = findBuild(context, what.buildId)
    refuseStep(build, what.step)
    const units = unitsOf(context, build, what).filter((unit) => canTake(context, { build, unit, entry, what }))
    const workedS = what.workedS === undefined ? null : what.workedS / Math.max(1, units.length)
    const at = nowOf(context)
    for (const unit of units) {
      const { serial } = unit
      store.builds.insertWork({ ...entry, serial, step: what.step, at, station: context.station, workedS })
      const detail = { buildId: build.id, step: what.step, mark: entry.mark, note: entry.note }
      writeJournal(context, { at, verb: 'record-work', noun: 'unit', key: serial, detail })
      finishBoard(context, { build, unit, at })
    }
    return showBuild(context, build.id)
  })
}

type Entry = ReturnType<typeof readEntry>

function readEntry({ mark = 'done', workedS, note = '', photoPath = '' }: RecordWork) {
  const known = WorkMark.safeParse(mark)
  if (!known.success) throw new BoardwrightError('bad-argument', `A step can be done, undone or wrong, not "${mark}".`)
  if (workedS !== undefined && !(workedS >= 0 && workedS < 86_400 * 30))
    throw new BoardwrightError('bad-argument', `The time worked must be zero seconds or more; it is ${workedS}.`)
  const said = note.trim().slice(0, 2000)
  if (mark === 'wrong' && said === '') throw new BoardwrightError('bad-argument', 'Say in a few words what is wrong.')
  return { mark: known.data, note: said, photoPath: photoPath.trim().slice(0, 400) }
}

function refuseStep(build: Build, key: string): void {
  const step = build.steps.find((one) => one.key === key)
  if (!step) {
    const keys = build.steps.map((one) => one.key).join(', ')
    throw new BoardwrightError('bad-argument', `Build ${build.id} has no step "${key}"; it has ${keys}.`)
  }
  if (step.kind === 'rig')
    throw new BoardwrightError('step-not-possible', 'The visit to the rig records itself: test the unit there.')
}

function unitsOf({ store }: VerbContext, build: Build, { serials, mark = 'done' }: RecordWork): Unit[] {
  if (serials === undefined && mark !== 'done')
    throw new BoardwrightError('bad-argument', 'Say which unit it is about.')
  const wanted = [...new Set((serials ?? build.serials).map(readSerial))]
  const stranger = wanted.find((serial) => !build.serials.includes(serial))
  if (stranger !== undefined) throw new BoardwrightError('not-found', `Build ${build.id} has no unit ${stranger}.`)
  return wanted.map((serial) => store.units.find(serial)!)
}

/** False for a unit that has the step behind it already. Errors: step-not-possible. */
function canTake(context: VerbContext, options: { build: Build; unit: Unit; entry: Entry; what: RecordWork }): boolean {
  const { build, unit, entry, what } = options
  if (entry.mark === 'wrong') return true
  const done = doneSteps(context.store.builds.work({ serial: unit.serial })).has(what.step)
  if (done === (entry.mark === 'done')) return false
  const isBoardStep = boardSteps(build.steps).some(({ key }) => key === what.step)
  const isBuilding = unit.state === 'building'
  if (isBoardStep === isBuilding && unit.state !== 'scrapped') return true
  // Meant for all units of the build: those that are not there yet, or beyond it, are left alone.
  if (what.serials === undefined) return false
  const sentence = isBuilding
    ? `Unit ${unit.serial} is still being built, so "${what.step}" has to wait.`
    : `Unit ${unit.serial} is ${unit.state}: its board is finished, so "${what.step}" cannot change; record a rework.`
  throw new BoardwrightError('step-not-possible', sentence)
}

/** Off to the rig as soon as the last board step is done. */
function finishBoard(context: VerbContext, { build, unit, at }: { build: Build; unit: Unit; at: string }): void {
  const { store } = context
  if (unit.state !== 'building') return
  const done = doneSteps(store.builds.work({ serial: unit.serial }))
  if (!boardSteps(build.steps).every(({ key }) => done.has(key))) return
  store.units.update({ ...unit, state: 'untested', updatedAt: at })
  const detail = { buildId: build.id, from: 'building', to: 'untested' }
  writeJournal(context, { at, verb: 'finish-board', noun: 'unit', key: unit.serial, detail })
}
