import { z } from 'zod'
import type { StoredImpulseResponse } from '../workshop/ports.ts'
import { decodeNumbers, encodeNumbers, encodeShortNumbers } from './number-array.ts'
import { readRow } from './read-row.ts'
import type { SqliteDatabase } from './sqlite.ts'

const Row = z.object({
  setting: z.string(),
  makesCurve: z.number(),
  rateHz: z.number(),
  zeroIndex: z.number(),
  samples: z.instanceof(Uint8Array),
  noise: z.instanceof(Uint8Array),
})

/** Impulse responses of the test runs, as 32-bit floats (the verb has rounded them): half a megabyte a setting. */
export function makeImpulseResponseStore(db: SqliteDatabase) {
  const select = db.prepare(
    `SELECT setting, makes_curve AS makesCurve, rate_hz AS rateHz, zero_index AS zeroIndex, samples, noise
     FROM impulse_response WHERE run_seq = ? ORDER BY rowid`,
  )
  const insert = db.prepare(
    `INSERT INTO impulse_response (run_seq, setting, makes_curve, rate_hz, zero_index, samples, noise)
     VALUES (:runSeq, :setting, :makesCurve, :rateHz, :zeroIndex, :samples, :noise)`,
  )
  return {
    ofRun: (runSeq: number, place: string): StoredImpulseResponse[] =>
      select.all(runSeq).map((raw) => {
        const row = readRow(Row, raw, place)
        return {
          ...row,
          makesCurve: row.makesCurve === 1,
          samples: decodeNumbers(row.samples, `${place} impulse response`),
          noise: decodeNumbers(row.noise, `${place} impulse response's noise`),
        }
      }),
    insert(runSeq: number, responses: readonly StoredImpulseResponse[]): void {
      for (const response of responses)
        insert.run({
          ...response,
          runSeq,
          makesCurve: response.makesCurve ? 1 : 0,
          samples: encodeShortNumbers(response.samples),
          noise: encodeNumbers(response.noise),
        })
    },
  }
}
