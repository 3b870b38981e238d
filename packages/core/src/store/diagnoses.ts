import { z } from 'zod'
import { RunDiagnosis } from '../model/run-diagnosis.ts'
import type { DiagnosisStore } from '../workshop/ports.ts'
import { readJson, readRow } from './read-row.ts'
import type { SqliteDatabase } from './sqlite.ts'

const Row = RunDiagnosis.omit({ evidence: true, diagnosis: true }).extend({ evidence: z.string(), content: z.string() })
const Leading = z.array(z.array(z.string()))

/** Diagnoses in the file; none of them changes once it is in. */
export function makeDiagnosisStore(db: SqliteDatabase): DiagnosisStore {
  const latest = db.prepare(
    `SELECT diagnosis.seq AS id, run_id AS runId, test_run.serial, at, diagnosis.station, evidence, content
     FROM diagnosis JOIN test_run ON test_run.id = run_id WHERE run_id = ? ORDER BY diagnosis.seq DESC LIMIT 1`,
  )
  const latestId = db.prepare('SELECT max(seq) FROM diagnosis WHERE run_id = ?').pluck()
  const leading = db.prepare('SELECT leading FROM diagnosis WHERE seq = ?').pluck()
  const insert = db.prepare(
    `INSERT INTO diagnosis (run_id, at, station, evidence, content, leading)
     VALUES (:runId, :at, :station, :evidence, :content, :leading)`,
  )
  return {
    latest(runId) {
      const raw = latest.get(runId)
      if (raw === undefined) return undefined
      const place = `diagnosis ${(raw as { id: number }).id}`
      const { evidence, content, ...head } = readRow(Row, raw, place)
      const whole = { ...head, evidence: readJson(evidence, place), diagnosis: readJson(content, place) }
      return readRow(RunDiagnosis, whole, place)
    },
    latestId: (runId) => (latestId.get(runId) as number | null) ?? undefined,
    leading(id) {
      const text = leading.get(id) as string | undefined
      return text === undefined ? [] : readRow(Leading, readJson(text, `diagnosis ${id}`), `diagnosis ${id}`)
    },
    insert(made) {
      // A number that JSON cannot hold (NaN) would make the row unreadable: better none than that.
      const { runId, at, station, evidence, diagnosis } = RunDiagnosis.parse({ ...made, id: null })
      const { lastInsertRowid } = insert.run({
        runId,
        at,
        station,
        evidence: JSON.stringify(evidence),
        content: JSON.stringify(diagnosis),
        leading: JSON.stringify(diagnosis.suspects.map((suspect) => suspect.designators)),
      })
      return { ...made, id: Number(lastInsertRowid) }
    },
  }
}
