import type { Verdict } from '@boardwright/core'

/** A verdict in plain words; the bare word stays that of the vocabulary. */
export const verdictWords: Record<Verdict, { short: string; sentence: string }> = {
  pass: { short: 'pass', sentence: 'This board passes.' },
  fail: { short: 'fail', sentence: 'This board fails.' },
  repeat: { short: 'repeat', sentence: 'No verdict yet: measure this board again.' },
}
