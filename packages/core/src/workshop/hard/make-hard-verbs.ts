import { findProduct } from '../find-product.ts'
import { readSerial } from '../register-unit.ts'
import type { VerbContext } from '../verb-context.ts'
import { addHardReference } from './add-hard-reference.ts'
import { currentHardReference } from './current-hard-reference.ts'
import { planWithHard } from './hard-plan-of.ts'
import type { HardVerbs } from './hard-verbs.ts'
import { stimuliOf } from './measure-supplies.ts'
import { recordHardRun } from './record-hard-run.ts'
import { rejudgeHard, showHardRun } from './show-hard-run.ts'

/** Binds the verbs about boards pressed hard. */
export const makeHardVerbs = (context: VerbContext): HardVerbs => ({
  stimuli: ({ productId, rigSettings }) => stimuliOf(planWithHard(findProduct(context, productId)), rigSettings),
  addReference: (what) => addHardReference(context, what),
  references: (productId) => context.store.hardReferences.list(findProduct(context, productId).id),
  currentReference: (productId) => currentHardReference(context, findProduct(context, productId)),
  record: (what) => recordHardRun(context, what),
  ofUnit: (serial) => context.store.hardRuns.ofUnit(readSerial(serial)),
  run: (id) => showHardRun(context, id),
  rejudge: (id) => rejudgeHard(context, id),
})
