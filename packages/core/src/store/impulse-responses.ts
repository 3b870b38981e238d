import { z } from 'zod'
import type { StoredImpulseResponse } from '../workshop/ports.ts'
import { decodeNumbers, encodeNumbers } from './number-array.ts'
import { readRow } from './read-row.ts'
import type { SqliteDatabase } from './sqlite.ts'

const Row = z.object({
  setting: z.string(),
  order: z.number().int(),
  rateHz: z.number(),
  zeroIndex: z.number(),
  samples: z.instanceof(Uint8Array),
})

/** Impulse responses of the test runs, as 64-bit floats: a curve computed again must be the same curve. */
export function makeImpulseResponseStore(db: SqliteDatabase) {
  const select = db.prepare(
    `SELECT setting, harmonic AS "order", rate_hz AS rateHz, zero_index AS zeroIndex, samples
     FROM impulse_response WHERE run_seq = ? ORDER BY rowid`,
  )
  const insert = db.prepare(
    `INSERT INTO impulse_response (run_seq, setting, harmonic, rate_hz, zero_index, samples)
     VALUES (:runSeq, :setting, :order, :rateHz, :zeroIndex, :samples)`,
  )
  return {
    ofRun: (runSeq: number, place: string): StoredImpulseResponse[] =>
      select.all(runSeq).map((raw) => {
        const row = readRow(Row, raw, place)
        return { ...row, samples: decodeNumbers(row.samples, `${place} impulse response`) }
      }),
    insert(runSeq: number, responses: readonly StoredImpulseResponse[]): void {
      for (const response of responses) insert.run({ ...response, runSeq, samples: encodeNumbers(response.samples) })
    },
  }
}
