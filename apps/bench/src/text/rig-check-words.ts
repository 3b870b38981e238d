import type { RetestItem, RigCheckOutcome, RigCheckStatus, RigKind } from '@boardwright/core'
import type { RigChoice } from '../rig-choice.ts'

export const outcomeWords: Readonly<Record<RigCheckOutcome, string>> = {
  good: '✓ GOOD',
  drifted: '✗ DRIFTED',
  repeat: '↻ REPEAT',
}

export const statusSign: Readonly<Record<RigCheckStatus['state'], string>> = {
  good: '✓',
  due: '◆',
  unchecked: '◆',
  drifted: '✗',
}

/** What is to be done with a unit that was tested on a rig in doubt. */
export const retestWords: Readonly<Record<RetestItem['action'], string>> = {
  'test-again': 'test it again',
  'take-back': 'take it back, then test it again',
  'look-at': 'shipped: must be looked at',
}

const kinds: Readonly<Record<RigChoice['rig'], RigKind>> = {
  sound: 'sound-interface',
  folder: 'files',
  simulated: 'simulated',
}

/** The word of the command line for a rig, as the workshop keeps it. */
export const rigKindOfChoice = (rig: RigChoice['rig']): RigKind => kinds[rig]
