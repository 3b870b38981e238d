import { z } from 'zod'
import { GaugeStep, GaugeStudy } from '../model/gauge-study.ts'
import type { GaugeStudyStore } from '../workshop/ports.ts'
import { decodeNumbers, encodeNumbers } from './number-array.ts'
import { readJson, readRow } from './read-row.ts'
import type { SqliteDatabase } from './sqlite.ts'

const columns = `gauge_study.id, gauge_study.started_at AS startedAt, gauge_study.station, product_id AS productId, revision,
  rig_kind AS rig, seed, content, gauge_study_end.study_id IS NOT NULL AS ended,
  (SELECT count(*) FROM gauge_reading WHERE study_id = gauge_study.id) AS readings`
const from = 'gauge_study LEFT JOIN gauge_study_end ON gauge_study_end.study_id = gauge_study.id'

const Row = GaugeStudy.pick({
  id: true,
  startedAt: true,
  station: true,
  productId: true,
  revision: true,
  rig: true,
  seed: true,
  readings: true,
}).extend({ content: z.string(), ended: z.number() })
const Content = GaugeStudy.pick({ serials: true, repeats: true, setUps: true, settings: true, note: true })

const blob = z.instanceof(Uint8Array)
const CurveRow = z.object({
  position: z.number().int(),
  serial: z.string(),
  setUp: z.number().int(),
  repeat: z.number().int(),
  setting: z.string(),
  gainAt1kHzDb: z.number(),
  frequencyHz: blob,
  gainDb: blob,
  uncertaintyDb: blob,
})

function readStudy(raw: unknown): GaugeStudy {
  const place = `gauge study ${(raw as { id: number }).id}`
  const { content, ended, ...head } = readRow(Row, raw, place)
  const rest = readRow(Content, readJson(content, place), place)
  const wanted = rest.serials.length * rest.repeats * rest.setUps
  const state = head.readings >= wanted ? 'complete' : ended === 1 ? 'abandoned' : 'running'
  return readRow(GaugeStudy, { ...head, ...rest, wanted, state }, place)
}

/** Gauge studies in the file with their readings; none of it changes once it is in. */
export function makeGaugeStudyStore(db: SqliteDatabase): GaugeStudyStore {
  const find = db.prepare(`SELECT ${columns} FROM ${from} WHERE gauge_study.id = ?`)
  const list = db.prepare(`SELECT ${columns} FROM ${from} WHERE product_id = ? ORDER BY gauge_study.id DESC`)
  const insert = db.prepare(
    `INSERT INTO gauge_study (started_at, station, product_id, revision, rig_kind, seed, content)
     VALUES (:startedAt, :station, :productId, :revision, :rig, :seed, :content)`,
  )
  const insertEnd = db.prepare(
    'INSERT INTO gauge_study_end (study_id, at, station, note) VALUES (:studyId, :at, :station, :note)',
  )
  const insertReading = db.prepare(
    `INSERT INTO gauge_reading (study_id, position, serial, set_up, repeat, at, station, rig)
     VALUES (:studyId, :position, :serial, :setUp, :repeat, :at, :station, :rig)`,
  )
  const insertCurve = db.prepare(
    `INSERT INTO gauge_curve (study_id, position, setting, gain_at_1khz_db, frequency_hz, gain_db, uncertainty_db)
     VALUES (:studyId, :position, :setting, :gainAt1kHzDb, :frequencyHz, :gainDb, :uncertaintyDb)`,
  )
  const curves = db.prepare(
    `SELECT gauge_reading.position, serial, set_up AS setUp, repeat, setting, gain_at_1khz_db AS gainAt1kHzDb,
       frequency_hz AS frequencyHz, gain_db AS gainDb, uncertainty_db AS uncertaintyDb
     FROM gauge_reading JOIN gauge_curve USING (study_id, position) WHERE study_id = ? ORDER BY position, setting`,
  )
  return {
    find(id) {
      const raw = find.get(id)
      return raw === undefined ? undefined : readStudy(raw)
    },
    list: (productId) => list.all(productId).map(readStudy),
    insert(study) {
      const { startedAt, station, productId, revision, rig, seed, ...content } = study
      const head = { startedAt, station, productId, revision, rig, seed }
      return Number(insert.run({ ...head, content: JSON.stringify(Content.parse(content)) }).lastInsertRowid)
    },
    insertReading({ studyId, step, at, station, rig, curves: measured }) {
      insertReading.run({ ...GaugeStep.parse(step), studyId, at, station, rig })
      for (const { setting, gainAt1kHzDb, frequencyHz, gainDb, uncertaintyDb } of measured)
        insertCurve.run({
          studyId,
          position: step.position,
          setting,
          gainAt1kHzDb,
          frequencyHz: encodeNumbers(frequencyHz),
          gainDb: encodeNumbers(gainDb),
          uncertaintyDb: encodeNumbers(uncertaintyDb),
        })
    },
    abandon(what) {
      insertEnd.run(what)
    },
    curves(id) {
      const place = `gauge study ${id}`
      return curves.all(id).map((raw) => {
        const { frequencyHz, gainDb, uncertaintyDb, ...row } = readRow(CurveRow, raw, place)
        const numbers = (bytes: Uint8Array) => Array.from(decodeNumbers(bytes, place))
        return {
          ...row,
          frequencyHz: numbers(frequencyHz),
          gainDb: numbers(gainDb),
          uncertaintyDb: numbers(uncertaintyDb),
        }
      })
    },
  }
}
