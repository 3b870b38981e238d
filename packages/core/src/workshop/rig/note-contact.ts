import { readSerial } from '../register-unit.ts'
import { nowOf, type VerbContext, writeJournal } from '../verb-context.ts'
import type { ContactOverridden } from './rig-verbs.ts'

/** Keeps in the journal that a unit was swept although its contact check was against it. Errors: bad-serial. */
export function noteContactOverridden(context: VerbContext, what: ContactOverridden): void {
  const { setting, kind, message } = what
  const key = readSerial(what.serial)
  const detail = { setting, kind, message }
  context.store.transaction(() => {
    writeJournal(context, { at: nowOf(context), verb: 'overrule-contact', noun: 'unit', key, detail })
  })
}
