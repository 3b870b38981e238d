import { z } from 'zod'
import type { ResponseCurve } from '../model/response-curve.ts'
import { SettingMeasurement } from '../model/test-run.ts'
import { decodeNumbers, encodeNumbers } from './number-array.ts'
import { readJson, readRow } from './read-row.ts'
import type { SqliteDatabase } from './sqlite.ts'

const blob = z.instanceof(Uint8Array).nullable()
const Row = SettingMeasurement.omit({
  usable: true,
  findings: true,
  curve: true,
  distortion: true,
  noise: true,
}).extend({
  usable: z.number(),
  findings: z.string(),
  frequencyHz: blob,
  gainDb: blob,
  phaseDeg: blob,
  uncertaintyDb: blob,
  distortion: z.string().nullable(),
  noise: z.string().nullable(),
})
type Row = z.infer<typeof Row>

const blobOf = (values: number[] | undefined): Buffer | null => (values ? encodeNumbers(values) : null)
const jsonOf = (value: unknown): string | null => (value === null ? null : JSON.stringify(value))

function readCurve(row: Row, place: string): ResponseCurve | null {
  const numbers = (column: 'frequencyHz' | 'gainDb' | 'phaseDeg' | 'uncertaintyDb') =>
    Array.from(decodeNumbers(row[column] ?? new Uint8Array(), `${place} ${column}`))
  if (row.frequencyHz === null) return null
  return {
    frequencyHz: numbers('frequencyHz'),
    gainDb: numbers('gainDb'),
    phaseDeg: numbers('phaseDeg'),
    uncertaintyDb: numbers('uncertaintyDb'),
  }
}

function readMeasurement(raw: unknown, place: string): SettingMeasurement {
  const row = readRow(Row, raw, place)
  const {
    usable,
    findings,
    distortion,
    noise,
    frequencyHz: _f,
    gainDb: _g,
    phaseDeg: _p,
    uncertaintyDb: _u,
    ...plain
  } = row
  return readRow(
    SettingMeasurement,
    {
      ...plain,
      usable: usable === 1,
      findings: readJson(findings, place),
      curve: readCurve(row, place),
      distortion: distortion === null ? null : readJson(distortion, place),
      noise: noise === null ? null : readJson(noise, place),
    },
    place,
  )
}

/** Measurements of the test runs: one row a setting, curves as blobs of numbers. */
export function makeMeasurementStore(db: SqliteDatabase) {
  const select = db.prepare(
    `SELECT setting, usable, findings, origin, rate_hz AS rateHz, delay_s AS delayS, polarity,
       gain_at_1khz_db AS gainAt1kHzDb, frequency_hz AS frequencyHz, gain_db AS gainDb, phase_deg AS phaseDeg,
       uncertainty_db AS uncertaintyDb, distortion, noise
     FROM measurement WHERE run_seq = ? ORDER BY position`,
  )
  const insert = db.prepare(
    `INSERT INTO measurement (run_seq, position, setting, usable, findings, origin, rate_hz, delay_s, polarity,
       gain_at_1khz_db, frequency_hz, gain_db, phase_deg, uncertainty_db, distortion, noise)
     VALUES (:runSeq, :position, :setting, :usable, :findings, :origin, :rateHz, :delayS, :polarity,
       :gainAt1kHzDb, :frequencyHz, :gainDb, :phaseDeg, :uncertaintyDb, :distortion, :noise)`,
  )
  return {
    ofRun: (runSeq: number, place: string): SettingMeasurement[] =>
      select.all(runSeq).map((row) => readMeasurement(row, place)),
    insert(runSeq: number, measurements: readonly SettingMeasurement[]): void {
      measurements.forEach(({ curve, ...measurement }, position) => {
        insert.run({
          ...measurement,
          runSeq,
          position,
          usable: measurement.usable ? 1 : 0,
          findings: JSON.stringify(measurement.findings),
          frequencyHz: blobOf(curve?.frequencyHz),
          gainDb: blobOf(curve?.gainDb),
          phaseDeg: blobOf(curve?.phaseDeg),
          uncertaintyDb: blobOf(curve?.uncertaintyDb),
          distortion: jsonOf(measurement.distortion),
          noise: jsonOf(measurement.noise),
        })
      })
    },
  }
}
