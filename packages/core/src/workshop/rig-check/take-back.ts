import { BoardwrightError } from '../../model/error.ts'
import type { Unit } from '../../model/unit.ts'
import { findProduct } from '../find-product.ts'
import { readSerial } from '../register-unit.ts'
import { nowOf, type VerbContext, writeJournal } from '../verb-context.ts'

/**
 * Takes units that wait to be tested again back from the shelf: ready and reserved ones become `untested`. Only the maker
 * does that, never a check by itself: a promised unit means a customer who must be told.
 * Errors: bad-serial, not-found, unit-not-testable.
 */
export function takeBack(
  context: VerbContext,
  what: { productId?: string; serials?: readonly string[] },
): { units: Unit[] } {
  const { store } = context
  return store.transaction(() => {
    const list = store.rigChecks.retest(findProduct(context, what.productId).id)
    const asked = what.serials?.map(readSerial)
    for (const serial of asked ?? []) {
      const item = list.find((one) => one.serial === serial)
      if (!item) throw new BoardwrightError('not-found', `Unit ${serial} is not on the list of units to test again.`)
      if (item.action === 'look-at')
        throw new BoardwrightError('unit-not-testable', `Unit ${serial} is shipped, so it cannot be taken back here.`, {
          remedy: 'Write to the customer; when the unit comes back it is tested again.',
        })
    }
    const wanted = list.filter(
      ({ serial, action }) => action === 'take-back' && (asked === undefined || asked.includes(serial)),
    )
    const at = nowOf(context)
    const units = wanted.map(({ serial, checkId }) => {
      const before = store.units.find(serial)
      if (!before) throw new Error(`unit ${serial} is on the list but not in the file`)
      const unit: Unit = { ...before, state: 'untested', updatedAt: at }
      store.units.update(unit)
      const detail = { checkId, from: before.state, to: unit.state }
      writeJournal(context, { at, verb: 'take-back', noun: 'unit', key: serial, detail })
      return unit
    })
    return { units }
  })
}
