import { TestRunSummary } from '../model/test-run.ts'
import { Unit, type UnitState } from '../model/unit.ts'
import type { UnitStore } from '../workshop/ports.ts'
import { readRow } from './read-row.ts'
import type { SqliteDatabase } from './sqlite.ts'
import { summaryColumns } from './test-run-summary.ts'

const columns =
  'unit.serial, unit.product_id AS productId, unit.revision, unit.state, unit.created_at AS createdAt, unit.updated_at AS updatedAt, unit.last_run_id AS lastRunId'

const placeOf = (row: unknown): string => `unit ${(row as { serial?: string }).serial}`
const readUnit = (row: unknown): Unit => readRow(Unit, row, placeOf(row))

/** Units in the file. */
export function makeUnitStore(db: SqliteDatabase): UnitStore {
  const list = db
    .prepare(
      `SELECT ${columns}, ${summaryColumns} FROM unit LEFT JOIN test_run ON test_run.id = unit.last_run_id
       WHERE (:state IS NULL OR unit.state = :state) AND instr(unit.serial, :search) > 0
       ORDER BY unit.updated_at DESC, unit.serial`,
    )
    .expand()
  const find = db.prepare(`SELECT ${columns} FROM unit WHERE serial = ?`)
  const insert = db.prepare(
    `INSERT INTO unit (serial, product_id, revision, state, created_at, updated_at, last_run_id)
     VALUES (:serial, :productId, :revision, :state, :createdAt, :updatedAt, :lastRunId)`,
  )
  const update = db.prepare(
    'UPDATE unit SET state = :state, last_run_id = :lastRunId, updated_at = :updatedAt WHERE serial = :serial',
  )
  const count = db.prepare('SELECT state, count(*) AS count FROM unit GROUP BY state')
  const firstUntested = db.prepare(
    `SELECT ${columns} FROM unit WHERE state = 'untested' ORDER BY created_at, serial LIMIT 1`,
  )
  return {
    list: ({ state, search }) =>
      list.all({ state: state ?? null, search: (search ?? '').trim().toUpperCase() }).map((row) => {
        const { unit, test_run: run } = row as { unit: unknown; test_run: { id: string | null } }
        const lastRun = run.id === null ? null : readRow(TestRunSummary, run, `test run ${run.id}`)
        return { ...readUnit(unit), lastRun }
      }),
    find(serial) {
      const row = find.get(serial)
      return row === undefined ? undefined : readUnit(row)
    },
    insert(unit) {
      insert.run(unit)
    },
    update(unit) {
      if (update.run(unit).changes !== 1) throw new Error(`no unit ${unit.serial} to update`)
    },
    countByState: () => count.all() as { state: UnitState; count: number }[],
    firstUntested() {
      const row = firstUntested.get()
      return row === undefined ? undefined : readUnit(row)
    },
  }
}
