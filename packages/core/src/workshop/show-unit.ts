import { BoardwrightError } from '../model/error.ts'
import { readSerial } from './register-unit.ts'
import type { VerbContext } from './verb-context.ts'
import type { UnitDetail } from './workshop.ts'

/** A unit with its test runs, its reworks and its history, newest first. Errors: bad-serial, not-found. */
export function showUnit({ store }: Pick<VerbContext, 'store'>, text: string): UnitDetail {
  const serial = readSerial(text)
  return store.snapshot(() => {
    const unit = store.units.find(serial)
    if (!unit) throw new BoardwrightError('not-found', `There is no unit ${serial} in this workshop.`)
    return {
      unit,
      runs: store.testRuns.ofUnit(serial),
      history: store.journal.about({ noun: 'unit', key: serial }),
      reworks: store.reworks.ofUnit(serial),
    }
  })
}
