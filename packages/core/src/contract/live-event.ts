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
const wanted = 'a journal number is a whole number, 0 or more'
const Seq = z.coerce.number(wanted).int(wanted).nonnegative(wanted)
export const LiveEventQuery = z.object({ after: Seq.optional() })
export const LiveEventHeaders = z.object({ 'last-event-id': Seq.optional() })
