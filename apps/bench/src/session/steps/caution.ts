import type { RigDriver } from '@boardwright/core/audio'
import type { RunTest } from '../test-request.ts'

/** Rigs whose first sound was allowed by a person since this program began. */
const allowed = new WeakSet<RigDriver>()

/** Before the first sound of a session somebody must have said that headphones are off. */
export async function allowFirstSound({ rig, ask, signal }: Pick<RunTest, 'rig' | 'ask' | 'signal'>): Promise<void> {
  if (rig.kind !== 'sound-interface' || allowed.has(rig)) return
  await ask?.({ kind: 'caution' })
  signal.throwIfAborted()
  allowed.add(rig)
}

/**
 * For a screen that has no question to show: true once, when the caution must be read first; the next try counts as having
 * read it.
 */
export function wantsCaution(rig: RigDriver): boolean {
  if (rig.kind !== 'sound-interface' || allowed.has(rig)) return false
  allowed.add(rig)
  return true
}
