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

const words: Readonly<Record<string, string>> = {
  'add-product': 'product added',
  'add-reference': 'reference made',
  'diagnose-run': 'looked for suspects',
  'finish-board': 'board finished',
  'issue-lot': 'parts issued',
  'overrule-contact': 'contact check overruled',
  'record-hard-run': 'pressed hard',
  'record-rework': 'reworked',
  'record-rig-check': 'rig checked',
  'record-test-run': 'tested',
  'record-work': 'work step done',
  'register-unit': 'registered',
  'return-to-lot': 'parts returned',
  'scrap-unit': 'scrapped',
  'start-build': 'build started',
  'take-back': 'taken back',
}

/**
 * What happened, as a person says it: "tested: pass". Screens and papers show these words, programs the verb.
 * A verb that has none here is shown with spaces.
 */
export function journalWords(entry: Pick<JournalEntry, 'verb' | 'detail'>): string {
  const what = words[entry.verb] ?? entry.verb.replaceAll('-', ' ')
  const { verdict, designator } = entry.detail
  const more = [designator, verdict].filter((value) => typeof value === 'string')
  return more.length > 0 ? `${what}: ${more.join(', ')}` : what
}
