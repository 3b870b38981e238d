import { Rework } from '../model/rework.ts'
import type { ReworkStore } from '../workshop/ports.ts'
import { readRow } from './read-row.ts'
import type { SqliteDatabase } from './sqlite.ts'

const columns = `seq AS id, serial, at, station, designator, action, part, lot, note, after_run_id AS afterRunId,
  diagnosis_id AS diagnosisId`

const readRework = (row: unknown): Rework => readRow(Rework, row, `rework ${(row as { id: number }).id}`)

/** Reworks in the file; none of them changes once it is in. */
export function makeReworkStore(db: SqliteDatabase): ReworkStore {
  const ofUnit = db.prepare(`SELECT ${columns} FROM rework WHERE serial = ? ORDER BY seq DESC`)
  const all = db.prepare(`SELECT ${columns} FROM rework ORDER BY seq`)
  const insert = db.prepare(
    `INSERT INTO rework (serial, at, station, designator, action, part, lot, note, after_run_id, diagnosis_id)
     VALUES (:serial, :at, :station, :designator, :action, :part, :lot, :note, :afterRunId, :diagnosisId)`,
  )
  return {
    ofUnit: (serial) => ofUnit.all(serial).map(readRework),
    all: () => all.all().map(readRework),
    insert(rework) {
      const { lastInsertRowid } = insert.run(Rework.omit({ id: true }).parse(rework))
      return { ...rework, id: Number(lastInsertRowid) }
    },
  }
}
