import { z } from 'zod'

/** Who changed what, when. The journal is only ever added to. */
export const JournalEntry = z.object({
  seq: z.number().int(),
  at: z.iso.datetime(),
  station: z.string(),
  verb: z.string(),
  noun: z.string(),
  key: z.string(),
  detail: z.record(z.string(), z.unknown()),
})
export type JournalEntry = z.infer<typeof JournalEntry>
