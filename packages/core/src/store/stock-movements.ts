import { StockMovement } from '../model/stock-movement.ts'
import type { StockMovementStore } from '../workshop/stock/stock-ports.ts'
import { readRow } from './read-row.ts'
import type { SqliteDatabase } from './sqlite.ts'

const columns =
  'seq AS id, lot_id AS lotId, at, station, kind, pieces, build_id AS buildId, rework_id AS reworkId, reason'

const readMovement = (row: unknown): StockMovement =>
  readRow(StockMovement, row, `stock movement ${(row as { id: number }).id}`)

/** Stock movements in the file: only ever added. */
export function makeStockMovementStore(db: SqliteDatabase): StockMovementStore {
  const ofLot = db.prepare(`SELECT ${columns} FROM stock_movement WHERE lot_id = ? ORDER BY seq`)
  const ofBuild = db.prepare(`SELECT ${columns} FROM stock_movement WHERE build_id = ? ORDER BY seq`)
  const insert = db.prepare(
    `INSERT INTO stock_movement (lot_id, at, station, kind, pieces, build_id, rework_id, reason)
     VALUES (:lotId, :at, :station, :kind, :pieces, :buildId, :reworkId, :reason)`,
  )
  return {
    ofLot: (lotId) => ofLot.all(lotId).map(readMovement),
    ofBuild: (buildId) => ofBuild.all(buildId).map(readMovement),
    insert(movement) {
      const { lastInsertRowid } = insert.run(StockMovement.omit({ id: true }).parse(movement))
      return { ...movement, id: Number(lastInsertRowid) }
    },
  }
}
