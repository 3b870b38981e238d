import { z } from 'zod'
import { HardReference } from '../model/hard-run.ts'
import type { HardReferenceStore } from '../workshop/hard/hard-ports.ts'
import { readJson, readRow } from './read-row.ts'
import type { SqliteDatabase } from './sqlite.ts'

const columns = 'product_id AS productId, version, revision, created_at AS createdAt, station, note, takes'
const Row = HardReference.omit({ takes: true }).extend({ takes: z.string() })

function readReference(raw: unknown): HardReference {
  const { productId, version } = raw as { productId: string; version: number }
  const place = `reference signature ${version} of ${productId}`
  const { takes, ...row } = readRow(Row, raw, place)
  return readRow(HardReference, { ...row, takes: readJson(takes, place) }, place)
}

/** Signatures of the reference board; a version is frozen. */
export function makeHardReferenceStore(db: SqliteDatabase): HardReferenceStore {
  const list = db.prepare(`SELECT ${columns} FROM hard_reference WHERE product_id = ? ORDER BY version DESC`)
  const find = db.prepare(`SELECT ${columns} FROM hard_reference WHERE product_id = ? AND version = ?`)
  const lastVersion = db.prepare('SELECT coalesce(max(version), 0) FROM hard_reference WHERE product_id = ?').pluck()
  const insert = db.prepare(
    `INSERT INTO hard_reference (product_id, version, revision, created_at, station, note, takes)
     VALUES (:productId, :version, :revision, :createdAt, :station, :note, :takes)`,
  )
  return {
    list: (productId) => list.all(productId).map(readReference),
    find({ productId, version }) {
      const row = find.get(productId, version)
      return row === undefined ? undefined : readReference(row)
    },
    lastVersion: (productId) => lastVersion.get(productId) as number,
    insert(reference) {
      const { takes, ...row } = HardReference.parse(reference)
      insert.run({ ...row, takes: JSON.stringify(takes) })
    },
  }
}
