import { createHash } from 'node:crypto'
import { z } from 'zod'
import { JournalEntry } from '../model/journal.ts'
import type { JournalStore, StoreDefect } from '../workshop/ports.ts'
import { readJson, readRow } from './read-row.ts'
import type { SqliteDatabase } from './sqlite.ts'

const columns = 'seq, at, station, verb, noun, key, detail'
const Row = JournalEntry.extend({ detail: z.string() })

const readEntry = (row: unknown): JournalEntry => {
  const place = `journal ${(row as { seq?: number }).seq}`
  const { detail, ...entry } = readRow(Row, row, place)
  return readRow(JournalEntry, { ...entry, detail: readJson(detail, place) }, place)
}

/** The seal of an entry binds its content to the seal before it, so that a changed or removed entry shows. */
const sealOf = (before: string, entry: z.infer<typeof Row>): string =>
  createHash('sha256')
    .update(
      JSON.stringify([before, entry.seq, entry.at, entry.station, entry.verb, entry.noun, entry.key, entry.detail]),
    )
    .digest('hex')

/** The journal in the file: only ever added to, its triggers forbid the rest. */
export function makeJournalStore(db: SqliteDatabase): JournalStore {
  const last = db.prepare('SELECT seq, seal FROM journal ORDER BY seq DESC LIMIT 1')
  const insert = db.prepare(
    'INSERT INTO journal (seq, at, station, verb, noun, key, detail, seal) VALUES (:seq, :at, :station, :verb, :noun, :key, :detail, :seal)',
  )
  const about = db.prepare(`SELECT ${columns} FROM journal WHERE noun = ? AND key = ? ORDER BY seq DESC`)
  const since = db.prepare(
    `SELECT ${columns} FROM journal WHERE seq > :seq AND (:noun IS NULL OR noun = :noun) ORDER BY seq LIMIT :limit`,
  )
  const lastSeq = db.prepare('SELECT coalesce(max(seq), 0) FROM journal').pluck()
  return {
    append(what) {
      const before = last.get() as { seq: number; seal: string } | undefined
      const entry = { seq: (before?.seq ?? 0) + 1, ...what }
      const row = { ...entry, detail: JSON.stringify(what.detail) }
      insert.run({ ...row, seal: sealOf(before?.seal ?? '', row) })
      return entry
    },
    about: ({ noun, key }) => about.all(noun, key).map(readEntry),
    since: ({ seq, limit, noun }) => since.all({ seq, limit, noun: noun ?? null }).map(readEntry),
    lastSeq: () => lastSeq.get() as number,
  }
}

/** Gaps in the journal's numbers and entries that were changed after they were written. */
export function journalDefects(db: SqliteDatabase): StoreDefect[] {
  const defects: StoreDefect[] = []
  let before = ''
  let expected = 1
  for (const row of db.prepare(`SELECT ${columns}, seal FROM journal ORDER BY seq`).iterate()) {
    const { seal, ...entry } = row as z.infer<typeof Row> & { seal: string }
    if (entry.seq !== expected)
      defects.push({ code: 'journal-gap', message: `The journal jumps from entry ${expected - 1} to ${entry.seq}.` })
    else if (seal !== sealOf(before, entry))
      defects.push({ code: 'journal-changed', message: `Journal entry ${entry.seq} was changed after it was written.` })
    before = seal
    expected = entry.seq + 1
  }
  return defects
}
