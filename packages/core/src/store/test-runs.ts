import { z } from 'zod'
import { RigVersion } from '../model/rig.ts'
import { rigKindOf } from '../model/rig-check.ts'
import { TestRun, TestRunSummary } from '../model/test-run.ts'
import type { TestRunStore } from '../workshop/ports.ts'
import { makeImpulseResponseStore } from './impulse-responses.ts'
import { makeMeasurementStore } from './measurements.ts'
import { readJson, readRow } from './read-row.ts'
import { makeRunUncertaintyStore } from './rig-uncertainties.ts'
import type { SqliteDatabase } from './sqlite.ts'
import { summaryColumns } from './test-run-summary.ts'

const columns =
  'seq, id, serial, product_id AS productId, revision, started_at AS startedAt, station, rig, sweep, reference_version AS referenceVersion, plan_hash AS planHash, verdict, judgement'

const Row = TestRun.omit({
  sweep: true,
  rigSettings: true,
  rigUncertainty: true,
  judgement: true,
  measurements: true,
}).extend({
  seq: z.number().int(),
  sweep: z.string(),
  judgement: z.string(),
})

const placeOf = (id: string): string => `test run ${id}`
const readSummary = (row: unknown): TestRunSummary => readRow(TestRunSummary, row, placeOf((row as { id: string }).id))

/** Test runs in the file: the run, its measurements and impulse responses; none of it changes once it is in. */
export function makeTestRunStore(db: SqliteDatabase): TestRunStore {
  const measurements = makeMeasurementStore(db)
  const impulses = makeImpulseResponseStore(db)
  const uncertainties = makeRunUncertaintyStore(db)
  const find = db.prepare(`SELECT ${columns} FROM test_run WHERE id = ?`)
  const rigOf = db.prepare('SELECT name, version FROM test_run_rig WHERE run_seq = ?')
  const seqOf = db.prepare('SELECT seq FROM test_run WHERE id = ?').pluck()
  const ids = db.prepare('SELECT id FROM test_run ORDER BY seq').pluck()
  const ofUnit = db.prepare(`SELECT ${summaryColumns} FROM test_run WHERE serial = ? ORDER BY seq DESC`)
  const summary = db.prepare(`SELECT ${summaryColumns} FROM test_run WHERE id = ?`)
  const insert = db.prepare(
    `INSERT INTO test_run (id, serial, product_id, revision, started_at, station, rig, sweep, reference_version,
       plan_hash, verdict, reason, judgement)
     VALUES (:id, :serial, :productId, :revision, :startedAt, :station, :rig, :sweep, :referenceVersion,
       :planHash, :verdict, :reason, :judgement)`,
  )
  const insertRig = db.prepare('INSERT INTO test_run_rig (run_seq, name, version) VALUES (:runSeq, :name, :version)')
  return {
    find(id) {
      const raw = find.get(id)
      if (raw === undefined) return undefined
      const { seq, sweep, judgement, ...row } = readRow(Row, raw, placeOf(id))
      const rig = rigOf.get(seq)
      return readRow(
        TestRun,
        {
          ...row,
          sweep: readJson(sweep, placeOf(id)),
          rigSettings: rig === undefined ? null : readRow(RigVersion, rig, placeOf(id)),
          rigUncertainty: uncertainties.ofRun(seq, placeOf(id)),
          judgement: readJson(judgement, placeOf(id)),
          measurements: measurements.ofRun(seq, placeOf(id)),
        },
        placeOf(id),
      )
    },
    ofUnit: (serial) => ofUnit.all(serial).map(readSummary),
    ids: () => ids.all() as string[],
    summary(id) {
      const row = summary.get(id)
      return row === undefined ? undefined : readSummary(row)
    },
    impulseResponses(id) {
      const seq = seqOf.get(id) as number | undefined
      return seq === undefined ? [] : impulses.ofRun(seq, placeOf(id))
    },
    insert({ run, impulseResponses }) {
      // A number that JSON cannot hold (NaN) would make the run unreadable: better no run than that.
      const { measurements: rows, sweep, rigSettings, rigUncertainty, judgement, ...head } = TestRun.parse(run)
      const { lastInsertRowid } = insert.run({
        ...head,
        sweep: JSON.stringify(sweep),
        reason: judgement.reasons[0]?.message ?? '',
        judgement: JSON.stringify(judgement),
      })
      if (rigSettings) insertRig.run({ ...rigSettings, runSeq: lastInsertRowid })
      if (rigUncertainty) {
        const { version } = rigUncertainty
        const runSeq = Number(lastInsertRowid)
        uncertainties.insert({ runSeq, productId: head.productId, rig: rigKindOf(head.rig), version })
      }
      measurements.insert(Number(lastInsertRowid), rows)
      impulses.insert(Number(lastInsertRowid), impulseResponses)
    },
  }
}
