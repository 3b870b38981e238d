import { referenceBoardSerial } from '../../model/rig-check.ts'
import { readSerial } from '../register-unit.ts'
import { nowOf, type VerbContext, writeJournal } from '../verb-context.ts'
import type { ContactOverridden } from './rig-verbs.ts'

/** Keeps in the journal that a unit, or the reference board, was swept although its contact check was against it. Errors: bad-serial. */
export function noteContactOverridden(context: VerbContext, what: ContactOverridden): void {
  const { setting, kind, message } = what
  const key = readSerial(what.serial)
  const detail = { setting, kind, message }
  const noun = key === referenceBoardSerial ? 'reference' : 'unit'
  context.store.transaction(() => {
    writeJournal(context, { at: nowOf(context), verb: 'overrule-contact', noun, key, detail })
  })
}
