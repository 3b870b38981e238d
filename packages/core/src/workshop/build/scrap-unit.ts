import type { FittedPart } from '../../model/build.ts'
import { BoardwrightError } from '../../model/error.ts'
import type { Unit } from '../../model/unit.ts'
import { readSerial } from '../register-unit.ts'
import { reasonOf } from '../stock/pieces.ts'
import { nowOf, type VerbContext, writeJournal } from '../verb-context.ts'
import type { ScrapUnit } from './build-verbs.ts'

/**
 * Gives up a board that is being built: the unit is scrapped, its serial number stays used, and the parts that were not
 * fitted yet go back into their lots.
 * Errors: bad-argument (no reason), bad-serial, not-found, part-unknown, step-not-possible (the board is finished).
 */
export function scrapUnit(context: VerbContext, what: ScrapUnit): Unit {
  const serial = readSerial(what.serial)
  const reason = reasonOf(what.reason)
  const { store } = context
  return store.transaction(() => {
    const build = store.builds.ofUnit(serial)
    const before = store.units.find(serial)
    if (!build || !before) throw new BoardwrightError('not-found', `No build of this workshop has a unit ${serial}.`)
    if (before.state !== 'building')
      throw new BoardwrightError(
        'step-not-possible',
        `Unit ${serial} is ${before.state}, so its build is not given up.`,
      )
    const at = nowOf(context)
    const back = partsBack(store.builds.fittedIn(serial), what.putBack ?? [])
    putBack(context, { back, buildId: build.id, serial, at })
    const unit: Unit = { ...before, state: 'scrapped', updatedAt: at }
    store.units.update(unit)
    const detail = {
      buildId: build.id,
      from: before.state,
      to: unit.state,
      reason,
      putBack: back.map((one) => one.designator),
    }
    writeJournal(context, { at, verb: 'scrap-unit', noun: 'unit', key: serial, detail })
    return unit
  })
}

function partsBack(fitted: readonly FittedPart[], wanted: ScrapUnit['putBack'] & {}): FittedPart[] {
  if (wanted === 'all') return [...fitted]
  const names = new Set(wanted.map((name) => name.trim().toUpperCase()))
  for (const name of names)
    if (!fitted.some(({ designator }) => designator === name))
      throw new BoardwrightError('part-unknown', `Nothing was laid out for a place "${name}".`)
  return fitted.filter(({ designator }) => names.has(designator))
}

/** One movement a lot. */
function putBack(
  context: VerbContext,
  what: { back: readonly FittedPart[]; buildId: number; serial: string; at: string },
): void {
  const { back, buildId, serial, at } = what
  const { store, station } = context
  for (const lotId of new Set(back.map((one) => one.lotId))) {
    const pieces = back.filter((one) => one.lotId === lotId).reduce((sum, one) => sum + one.pieces, 0)
    const movement = { lotId, at, station, kind: 'returned' as const, pieces, buildId, reworkId: null }
    store.stockMovements.insert({ ...movement, reason: `${serial} given up` })
    writeJournal(context, {
      at,
      verb: 'return-to-lot',
      noun: 'part-lot',
      key: lotId,
      detail: { pieces, buildId, serial },
    })
  }
}
