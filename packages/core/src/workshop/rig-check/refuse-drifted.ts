import { BoardwrightError } from '../../model/error.ts'
import { rigKindOf } from '../../model/rig-check.ts'
import type { TestRun } from '../../model/test-run.ts'
import type { VerbContext } from '../verb-context.ts'
import { driftedSentence } from './rig-check-status.ts'

/**
 * Stops work on a rig that has drifted. Call it before anything is measured, and again inside the transaction that stores:
 * another program may have checked the rig meanwhile. Errors: rig-drifted.
 */
export function refuseDrifted(
  { store }: Pick<VerbContext, 'store'>,
  which: { productId: string; rig: TestRun['rig'] },
): void {
  const rig = rigKindOf(which.rig)
  const last = store.rigChecks.newest({ productId: which.productId, rig })
  if (last?.outcome === 'drifted') throw new BoardwrightError('rig-drifted', driftedSentence(last, rig))
}
