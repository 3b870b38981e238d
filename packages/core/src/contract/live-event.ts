import { z } from 'zod'
import { JournalEntry } from '../model/journal.ts'

/** What a live event carries: enough to know what to fetch again. */
export const LiveEvent = JournalEntry.pick({ seq: true, at: true, verb: true, noun: true, key: true, station: true })
export type LiveEvent = z.infer<typeof LiveEvent>

/**
 * Server-sent events: one `change` event per journal entry, its `id` is the journal's sequence number and its data a
 * LiveEvent. They begin after the number in `Last-Event-ID` (which a browser sends when it reconnects), else after
 * `?after=`, else with the next change.
 */
export const eventsPath = '/api/events'
const Seq = z.coerce.number().int().nonnegative()
export const LiveEventQuery = z.object({ after: Seq.optional() })
export const LiveEventHeaders = z.object({ 'last-event-id': Seq.optional() })
