import { z } from 'zod'
import { Part, type PartVersion } from '../model/part.ts'
import type { PartStore } from '../workshop/stock/stock-ports.ts'
import { readJson, readRow } from './read-row.ts'
import type { SqliteDatabase } from './sqlite.ts'

const Row = z.object({ number: z.string(), version: z.number(), changedAt: z.string(), content: z.string() })
const columns = 'number, version, changed_at AS changedAt, content'

function readPart(raw: unknown): PartVersion {
  const { number, version } = raw as { number: string; version: number }
  const place = `version ${version} of part ${number}`
  const { content, changedAt } = readRow(Row, raw, place)
  const part = readRow(Part, { ...(readJson(content, place) as object), number }, place)
  return { ...part, version, changedAt }
}

/** Parts in the file; a version never changes once it is in. */
export function makePartStore(db: SqliteDatabase): PartStore {
  const list = db.prepare(
    `SELECT ${columns} FROM part
     WHERE version = (SELECT max(version) FROM part AS other WHERE other.number = part.number) ORDER BY number`,
  )
  const history = db.prepare(`SELECT ${columns} FROM part WHERE number = ? ORDER BY version DESC`)
  const newest = db.prepare(`SELECT ${columns} FROM part WHERE number = ? ORDER BY version DESC LIMIT 1`)
  const insert = db.prepare(
    'INSERT INTO part (number, version, changed_at, content) VALUES (:number, :version, :changedAt, :content)',
  )
  const find = (number: string) => {
    const row = newest.get(number)
    return row === undefined ? undefined : readPart(row)
  }
  return {
    list: () => list.all().map(readPart),
    newest: find,
    history: (number) => history.all(number).map(readPart),
    insert({ part, changedAt }) {
      const { number, ...content } = Part.parse(part)
      const version = (find(number)?.version ?? 0) + 1
      insert.run({ number, version, changedAt, content: JSON.stringify(content) })
      return { ...content, number, version, changedAt }
    },
  }
}
