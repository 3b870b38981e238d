import { WorkRecord } from '../model/build.ts'
import type { BuildStore, ReworkLot } from '../workshop/build/build-ports.ts'
import { readRow } from './read-row.ts'
import type { SqliteDatabase } from './sqlite.ts'

const select = `SELECT work_record.seq AS id, build_unit.build_id AS buildId, work_record.serial, step, mark, at,
  work_record.station, worked_s AS workedS, note, photo_path AS photoPath
  FROM work_record JOIN build_unit ON build_unit.serial = work_record.serial`

const readRecord = (row: unknown): WorkRecord => readRow(WorkRecord, row, `work record ${(row as { id: number }).id}`)

/** The work on units, step by step, and the lots that reworks took parts from: only ever added. */
export function makeWorkRecordStore(
  db: SqliteDatabase,
): Pick<BuildStore, 'work' | 'insertWork' | 'linkRework' | 'reworkLots'> {
  const ofUnit = db.prepare(`${select} WHERE work_record.serial = ? ORDER BY work_record.seq`)
  const ofBuild = db.prepare(`${select} WHERE build_unit.build_id = ? ORDER BY work_record.seq`)
  const ofProduct = db.prepare(
    `${select} JOIN build ON build.seq = build_unit.build_id WHERE build.product_id = ? ORDER BY work_record.seq`,
  )
  const insert = db.prepare(
    `INSERT INTO work_record (serial, step, mark, at, station, worked_s, note, photo_path)
     VALUES (:serial, :step, :mark, :at, :station, :workedS, :note, :photoPath)`,
  )
  const link = db.prepare('INSERT INTO rework_lot (rework_id, lot_id) VALUES (:reworkId, :lotId)')
  const links = db.prepare(
    `SELECT rework_id AS reworkId, lot_id AS lotId FROM rework_lot JOIN rework ON rework.seq = rework_lot.rework_id
     WHERE rework.serial = ?`,
  )
  return {
    work(which) {
      if ('serial' in which) return ofUnit.all(which.serial).map(readRecord)
      if ('buildId' in which) return ofBuild.all(which.buildId).map(readRecord)
      return ofProduct.all(which.productId).map(readRecord)
    },
    insertWork(record) {
      insert.run(WorkRecord.omit({ id: true, buildId: true }).parse(record))
    },
    linkRework(what) {
      link.run(what)
    },
    reworkLots: (serial) => links.all(serial) as ReworkLot[],
  }
}
