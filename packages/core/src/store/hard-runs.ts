import { z } from 'zod'
import { HardRun, HardRunSummary } from '../model/hard-run.ts'
import type { HardRunStore } from '../workshop/hard/hard-ports.ts'
import { readJson, readRow } from './read-row.ts'
import type { SqliteDatabase } from './sqlite.ts'

const head = 'id, serial, started_at AS startedAt, station, rig, reference_version AS referenceVersion, verdict'
const Row = HardRun.omit({ judgement: true, signature: true, rigSettings: true }).extend({
  judgement: z.string(),
  signature: z.string(),
  rigSettings: z.string().nullable(),
})

const placeOf = (id: string): string => `hard run ${id}`
const readSummary = (row: unknown): HardRunSummary => readRow(HardRunSummary, row, placeOf((row as { id: string }).id))

/** Runs of boards pressed hard; none of them changes once it is in. */
export function makeHardRunStore(db: SqliteDatabase): HardRunStore {
  const find = db.prepare(
    `SELECT ${head}, product_id AS productId, revision, plan_hash AS planHash, rig_settings AS rigSettings, judgement, signature FROM hard_run WHERE id = ?`,
  )
  const ofUnit = db.prepare(`SELECT ${head}, reason FROM hard_run WHERE serial = ? ORDER BY seq DESC`)
  const ids = db.prepare('SELECT id FROM hard_run ORDER BY seq').pluck()
  const insert = db.prepare(
    `INSERT INTO hard_run (id, serial, product_id, revision, started_at, station, rig, rig_settings, reference_version, plan_hash,
       verdict, reason, judgement, signature)
     VALUES (:id, :serial, :productId, :revision, :startedAt, :station, :rig, :rigSettings, :referenceVersion, :planHash,
       :verdict, :reason, :judgement, :signature)`,
  )
  return {
    find(id) {
      const raw = find.get(id)
      if (raw === undefined) return undefined
      const { judgement, signature, rigSettings, ...row } = readRow(Row, raw, placeOf(id))
      const place = placeOf(id)
      return readRow(
        HardRun,
        {
          ...row,
          rigSettings: rigSettings === null ? null : readJson(rigSettings, place),
          judgement: readJson(judgement, place),
          signature: readJson(signature, place),
        },
        place,
      )
    },
    ofUnit: (serial) => ofUnit.all(serial).map(readSummary),
    ids: () => ids.all() as string[],
    insert(run) {
      // A number that JSON cannot hold (NaN) would make the run unreadable: better no run than that.
      const { judgement, signature, rigSettings, ...row } = HardRun.parse(run)
      insert.run({
        ...row,
        rigSettings: rigSettings === null ? null : JSON.stringify(rigSettings),
        reason: judgement.reasons[0].message,
        judgement: JSON.stringify(judgement),
        signature: JSON.stringify(signature),
      })
    },
  }
}
