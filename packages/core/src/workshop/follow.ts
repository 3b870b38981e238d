import type { JournalEntry } from '../model/journal.ts'
import type { TestRunSummary } from '../model/test-run.ts'
import type { VerbContext } from './verb-context.ts'

/** Journal entries after `seq`, oldest first. */
export const journalSince = ({ store }: Pick<VerbContext, 'store'>, seq: number, limit = 500): JournalEntry[] =>
  store.journal.since({ seq, limit })

/** Runs recorded after journal number `seq`, oldest first, each with its journal number. */
export function runsSince({ store }: Pick<VerbContext, 'store'>, seq: number): { seq: number; run: TestRunSummary }[] {
  return store.snapshot(() =>
    store.journal.since({ seq, limit: 500, noun: 'test-run' }).flatMap((entry) => {
      const run = store.testRuns.summary(entry.key)
      return run ? [{ seq: entry.seq, run }] : []
    }),
  )
}
