import { BoardwrightError } from '../model/error.ts'
import type { Product } from '../model/product.ts'
import { referenceBoardSerial } from '../model/rig-check.ts'
import { readSerialByPattern, serialPatternOf } from '../model/serial-pattern.ts'
import { Serial, type Unit } from '../model/unit.ts'
import { findProduct } from './find-product.ts'
import { nowOf, type VerbContext, writeJournal } from './verb-context.ts'

/** A serial number as scanned or typed, in the form it is stored in. Errors: bad-serial. */
export function readSerial(text: string): string {
  const parsed = Serial.safeParse(text)
  if (parsed.success) return parsed.data
  const shown = text.length > 40 ? `${text.slice(0, 40)}...` : text
  throw new BoardwrightError('bad-serial', `${JSON.stringify(shown)}: ${parsed.error.issues[0].message}.`)
}

/** The reference board proves the rig; it is no unit that could pass. Errors: bad-serial. */
export function refuseReferenceBoard(serial: string): void {
  if (serial !== referenceBoardSerial) return
  throw new BoardwrightError('bad-serial', `${referenceBoardSerial} is the reference board, no unit.`, {
    remedy: 'Scan the label of a unit; the reference board is measured by a rig check.',
  })
}

/**
 * Puts a new unit, `untested` unless told, into the store and the journal; call it inside a transaction.
 * Errors: bad-serial when it looks like the product's serial numbers but its check character is not right.
 */
export function insertUnit(
  context: VerbContext,
  what: { serial: string; product: Product; state?: 'untested' | 'building' },
): Unit {
  const { serial, product, state = 'untested' } = what
  refuseReferenceBoard(serial)
  if (readSerialByPattern(serialPatternOf(product), serial).kind === 'mistyped')
    throw new BoardwrightError('bad-serial', `${serial} is mistyped: its last character does not fit the others.`)
  const at = nowOf(context)
  const { id: productId, revision } = product
  const unit: Unit = {
    serial,
    productId,
    revision,
    state,
    createdAt: at,
    updatedAt: at,
    lastRunId: null,
  }
  context.store.units.insert(unit)
  const detail = { productId, revision, state: unit.state }
  writeJournal(context, { at, verb: 'register-unit', noun: 'unit', key: unit.serial, detail })
  return unit
}

/** A new, untested unit of the product's newest revision. Errors: bad-serial, unit-exists, not-found (product). */
export function registerUnit(context: VerbContext, what: { serial: string; productId?: string }): Unit {
  const serial = readSerial(what.serial)
  return context.store.transaction(() => {
    if (context.store.units.find(serial))
      throw new BoardwrightError('unit-exists', `Unit ${serial} is in this workshop already.`)
    return insertUnit(context, { serial, product: findProduct(context, what.productId) })
  })
}
