import { expect, test } from 'vitest'
import { journalWords } from '../../src/model/journal.ts'

test.each([
  [{ verb: 'record-test-run', detail: { verdict: 'pass', runId: 'R-1' } }, 'tested: pass'],
  [{ verb: 'register-unit', detail: {} }, 'registered'],
  [{ verb: 'record-rework', detail: { designator: 'R3' } }, 'reworked: R3'],
  [{ verb: 'fold-the-box', detail: {} }, 'fold the box'],
])('%j reads "%s"', (entry, words) => {
  expect(journalWords(entry)).toBe(words)
})
