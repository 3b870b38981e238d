import type { RetestItem, RigCheckOutcome, RigCheckStatus, RigKind } from '@boardwright/core'

export const rigNames: Readonly<Record<RigKind, string>> = {
  'sound-interface': 'Rig with its sound interface',
  files: 'Rig behind the recordings',
  simulated: 'Simulated rig',
}

/** Sign and word differ, so that colour is not needed. */
export const outcomeMarks: Readonly<Record<RigCheckOutcome, { sign: string; word: string }>> = {
  good: { sign: '✓', word: 'good' },
  drifted: { sign: '✗', word: 'drifted' },
  repeat: { sign: '↻', word: 'repeat' },
}

export const stateSigns: Readonly<Record<RigCheckStatus['state'], string>> = {
  good: '✓',
  due: '◆',
  unchecked: '◆',
  drifted: '✗',
}

export const retestWords: Readonly<Record<RetestItem['action'], string>> = {
  'test-again': 'Test it again.',
  'take-back': 'Take it back from the shelf, then test it again.',
  'look-at': 'It is shipped: it must be looked at.',
}
