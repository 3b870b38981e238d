import { z } from 'zod'
import { RigUncertainty } from '../model/rig-uncertainty.ts'
import type { RigUncertaintyStore } from '../workshop/ports.ts'
import { readRow } from './read-row.ts'
import type { SqliteDatabase } from './sqlite.ts'

const columns = 'version, study_id AS studyId, rig_uncertainty_db AS rigUncertaintyDb, source'
/** A version without a study says that the test plan's own figure counts again. */
const Row = z.object({
  version: z.number().int(),
  studyId: z.number().int().nullable(),
  rigUncertaintyDb: z.number().nullable(),
  source: z.string(),
})

/** The rig's uncertainty, a version for each study that was taken over; none of them changes once it is in. */
export function makeRigUncertaintyStore(db: SqliteDatabase): RigUncertaintyStore {
  const newest = db.prepare(
    `SELECT ${columns} FROM rig_uncertainty WHERE product_id = :productId AND rig_kind = :rig ORDER BY version DESC LIMIT 1`,
  )
  const insert = db.prepare(
    `INSERT INTO rig_uncertainty (product_id, rig_kind, version, at, station, study_id, rig_uncertainty_db, source)
     VALUES (:productId, :rig, (SELECT coalesce(max(version), 0) + 1 FROM rig_uncertainty
       WHERE product_id = :productId AND rig_kind = :rig), :at, :station, :studyId, :rigUncertaintyDb, :source)
     RETURNING version`,
  )
  const read = (raw: unknown): RigUncertainty | undefined => {
    if (raw === undefined) return undefined
    const row = readRow(Row, raw, 'rig uncertainty')
    return row.studyId === null ? undefined : readRow(RigUncertainty, row, `rig uncertainty ${row.version}`)
  }
  return {
    inForce: (which) => read(newest.get(which)),
    insert: (what) => (insert.get(what) as { version: number }).version,
  }
}

/** Which version each run was judged by. */
export function makeRunUncertaintyStore(db: SqliteDatabase) {
  const find = db.prepare(
    `SELECT version, study_id AS studyId, rig_uncertainty_db AS rigUncertaintyDb, source
     FROM test_run_uncertainty JOIN rig_uncertainty USING (product_id, rig_kind, version) WHERE run_seq = ?`,
  )
  const insert = db.prepare(
    'INSERT INTO test_run_uncertainty (run_seq, product_id, rig_kind, version) VALUES (:runSeq, :productId, :rig, :version)',
  )
  return {
    ofRun(runSeq: number, place: string): RigUncertainty | null {
      const raw = find.get(runSeq)
      return raw === undefined ? null : readRow(RigUncertainty, raw, place)
    },
    insert(what: { runSeq: number; productId: string; rig: string; version: number }): void {
      insert.run(what)
    },
  }
}
