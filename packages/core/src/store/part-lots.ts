import { z } from 'zod'
import { LotReading } from '../model/lot-inspection.ts'
import { type LotInStock, PartLot } from '../model/part-lot.ts'
import type { PartLotStore } from '../workshop/stock/stock-ports.ts'
import { readJson, readRow } from './read-row.ts'
import type { SqliteDatabase } from './sqlite.ts'

const Row = PartLot.pick({ id: true, part: true, receivedAt: true, station: true, state: true }).extend({
  content: z.string(),
  stock: z.number().int().nonnegative(),
  received: z.number().int().nonnegative(),
})
const columns = `id, part, received_at AS receivedAt, station, state, content,
  (SELECT coalesce(sum(pieces), 0) FROM stock_movement WHERE lot_id = part_lot.id) AS stock,
  (SELECT coalesce(sum(pieces), 0) FROM stock_movement WHERE lot_id = part_lot.id AND kind = 'received') AS received`

function readLot(raw: unknown): LotInStock {
  const place = `lot ${(raw as { id: string }).id}`
  const { content, stock, received, ...head } = readRow(Row, raw, place)
  return { ...readRow(PartLot, { ...(readJson(content, place) as object), ...head }, place), stock, received }
}

const readReading = (raw: unknown): LotReading => {
  const { lotId, piece, good } = raw as { lotId: string; piece: number; good: number }
  return readRow(LotReading, { ...(raw as object), good: good === 1 }, `piece ${piece} of lot ${lotId}`)
}

/** Part lots in the file; the stock is summed up from the movements whenever it is asked for. */
export function makePartLotStore(db: SqliteDatabase): PartLotStore {
  const list = db.prepare(
    `SELECT ${columns} FROM part_lot WHERE (:part IS NULL OR part = :part) AND (:state IS NULL OR state = :state)
     ORDER BY received_at, seq`,
  )
  const find = db.prepare(`SELECT ${columns} FROM part_lot WHERE id = ?`)
  const count = db.prepare('SELECT coalesce(max(seq), 0) + 1 FROM part_lot').pluck()
  const insert = db.prepare(
    `INSERT INTO part_lot (id, part, received_at, station, state, content)
     VALUES (:id, :part, :receivedAt, :station, :state, :content)`,
  )
  const setState = db.prepare('UPDATE part_lot SET state = :state WHERE id = :id')
  const readings = db.prepare(
    'SELECT lot_id AS lotId, piece, at, station, good, run_id AS runId, note FROM lot_reading WHERE lot_id = ? ORDER BY seq',
  )
  const insertReading = db.prepare(
    `INSERT INTO lot_reading (lot_id, piece, at, station, good, run_id, note)
     VALUES (:lotId, :piece, :at, :station, :good, :runId, :note)`,
  )
  return {
    list: ({ part, state }) => list.all({ part: part ?? null, state: state ?? null }).map(readLot),
    find(id) {
      const row = find.get(id)
      return row === undefined ? undefined : readLot(row)
    },
    nextNumber: () => count.get() as number,
    insert(lot) {
      const { id, part, receivedAt, station, state, ...content } = PartLot.parse(lot)
      insert.run({ id, part, receivedAt, station, state, content: JSON.stringify(content) })
    },
    setState(what) {
      if (setState.run(what).changes !== 1) throw new Error(`no lot ${what.id} to change`)
    },
    readings: (id) => readings.all(id).map(readReading),
    insertReading(reading) {
      insertReading.run({ ...reading, good: reading.good ? 1 : 0 })
    },
  }
}
