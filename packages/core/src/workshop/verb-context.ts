import type { JournalEntry } from '../model/journal.ts'
import type { Clock, Store } from './ports.ts'

/** What every verb works with. */
export interface VerbContext {
  store: Store
  clock: Clock
  /** Name of the place that works here; it stands in the journal. */
  station: string
}

/** This moment, UTC in ISO 8601. */
export const nowOf = (context: Pick<VerbContext, 'clock'>): string => context.clock.now().toISOString()

/** Writes a change into the journal; call it inside the transaction that makes the change. */
export const writeJournal = (
  context: VerbContext,
  change: Pick<JournalEntry, 'verb' | 'noun' | 'key' | 'detail'> & { at: string },
): JournalEntry => context.store.journal.append({ ...change, station: context.station })
