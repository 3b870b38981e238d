import { z } from 'zod'
import { RetestItem, RigCheck, RigCheckSummary, retestActionFor, rigKindOf } from '../model/rig-check.ts'
import { TestRun } from '../model/test-run.ts'
import { UnitState } from '../model/unit.ts'
import { Verdict } from '../model/verdict.ts'
import type { RigCheckStore } from '../workshop/ports.ts'
import { readJson, readRow } from './read-row.ts'
import type { SqliteDatabase } from './sqlite.ts'

const columns =
  'id, at, station, product_id AS productId, revision, rig, reference_version AS referenceVersion, outcome, content'

const Row = RigCheck.pick({
  id: true,
  at: true,
  station: true,
  productId: true,
  revision: true,
  rig: true,
  referenceVersion: true,
  outcome: true,
}).extend({ content: z.string() })

const Tested = z.object({ serial: z.string(), runId: z.string(), seq: z.number().int() })
const RetestRow = z.object({
  serial: z.string(),
  state: UnitState,
  checkId: z.number().int(),
  rig: RetestItem.shape.rig,
  runId: z.string(),
  testedAt: TestRun.shape.startedAt,
  verdict: Verdict,
})

/** Test runs of the same rig, in SQL. */
const kindOfRun = `CASE test_run.rig WHEN 'wave-files' THEN 'files' WHEN 'upload' THEN 'files' ELSE test_run.rig END`

/** A unit stays on the list until a test of its own has said something after the check. */
const retestSql = `
  SELECT retest.serial, unit.state, retest.check_id AS checkId, rig_check.rig_kind AS rig, retest.run_id AS runId,
    doubtful.started_at AS testedAt, doubtful.verdict
  FROM retest JOIN rig_check ON rig_check.id = check_id JOIN unit ON unit.serial = retest.serial
    JOIN test_run AS doubtful ON doubtful.id = retest.run_id
  WHERE rig_check.product_id = :productId AND unit.state <> 'scrapped'
    AND NOT EXISTS (SELECT 1 FROM test_run WHERE test_run.serial = retest.serial AND test_run.seq > after_run_seq
      AND test_run.verdict <> 'repeat')
  ORDER BY retest.check_id DESC, retest.serial`

function wholeOf(raw: unknown): { place: string; row: object } {
  const place = `rig check ${(raw as { id: number }).id}`
  const { content, ...head } = readRow(Row, raw, place)
  return { place, row: { ...(readJson(content, place) as object), ...head } }
}

const readCheck = (raw: unknown): RigCheck => {
  const { place, row } = wholeOf(raw)
  return readRow(RigCheck, row, place)
}

/** Without the curves, which a long list of checks must not read. */
const readSummary = (raw: unknown): RigCheckSummary => {
  const { place, row } = wholeOf(raw)
  return readRow(RigCheckSummary, row, place)
}

/** Rig checks in the file and the units they put in doubt; none of it changes once it is in. */
export function makeRigCheckStore(db: SqliteDatabase): RigCheckStore {
  const find = db.prepare(`SELECT ${columns} FROM rig_check WHERE id = ?`)
  const list = db.prepare(
    `SELECT ${columns.replace('content', "json_remove(content, '$.settings') AS content")} FROM rig_check WHERE product_id = :productId AND (:rig IS NULL OR rig_kind = :rig)
     ORDER BY id DESC LIMIT :limit`,
  )
  const newest = db.prepare(
    `SELECT ${columns} FROM rig_check WHERE product_id = :productId AND rig_kind = :rig
       AND (:outcome IS NULL AND outcome <> 'repeat' OR outcome = :outcome) ORDER BY id DESC LIMIT 1`,
  )
  const afterRun = db.prepare('SELECT after_run_seq FROM rig_check WHERE id = ?').pluck()
  const testedAfter = db.prepare(
    `SELECT serial, id AS runId, max(seq) AS seq FROM test_run
     WHERE product_id = :productId AND ${kindOfRun} = :rig AND seq > :afterRunSeq
       AND (:since IS NULL OR started_at >= :since) AND (NOT :decided OR verdict <> 'repeat')
     GROUP BY serial ORDER BY seq`,
  )
  const lastRunAt = db
    .prepare(`SELECT max(started_at) FROM test_run WHERE product_id = :productId AND ${kindOfRun} = :rig`)
    .pluck()
  const insert = db.prepare(
    `INSERT INTO rig_check (at, station, product_id, revision, rig, rig_kind, reference_version, after_run_seq, outcome,
       content)
     VALUES (:at, :station, :productId, :revision, :rig, :kind, :referenceVersion,
       (SELECT coalesce(max(seq), 0) FROM test_run), :outcome, :content)`,
  )
  const insertRetest = db.prepare('INSERT INTO retest (check_id, serial, run_id) VALUES (?, ?, ?)')
  const retest = db.prepare(retestSql)
  const one = (raw: unknown): RigCheck | undefined => (raw === undefined ? undefined : readCheck(raw))
  return {
    find: (id) => one(find.get(id)),
    list: ({ productId, rig, limit }) =>
      list.all({ productId, rig: rig ?? null, limit }).map((raw) => readSummary(raw)),
    newest: ({ productId, rig, outcome }) => one(newest.get({ productId, rig, outcome: outcome ?? null })),
    tested: ({ productId, rig, afterCheckId, since, decided }) =>
      testedAfter
        .all({
          productId,
          rig,
          afterRunSeq: afterCheckId === undefined ? 0 : ((afterRun.get(afterCheckId) as number | undefined) ?? 0),
          since: since ?? null,
          decided: decided ? 1 : 0,
        })
        .map((row) => readRow(Tested, row, 'test runs')),
    lastRunAt: (which) => (lastRunAt.get(which) as string | null) ?? undefined,
    insert(what) {
      const { id: _, ...check } = RigCheck.parse({ ...what.check, id: 1 })
      const { at, station, productId, revision, rig, referenceVersion, outcome, ...content } = check
      const head = { at, station, productId, revision, rig, kind: rigKindOf(rig), referenceVersion, outcome }
      const id = Number(insert.run({ ...head, content: JSON.stringify(content) }).lastInsertRowid)
      for (const { serial, runId } of what.doubtful) insertRetest.run(id, serial, runId)
      return { ...check, id }
    },
    retest: (productId) =>
      retest.all({ productId }).map((raw) => {
        const row = readRow(RetestRow, raw, 'units to test again')
        return readRow(RetestItem, { ...row, action: retestActionFor(row.state) }, 'units to test again')
      }),
  }
}
