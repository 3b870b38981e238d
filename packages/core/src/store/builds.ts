import { z } from 'zod'
import { Build, FittedPart } from '../model/build.ts'
import type { BuildStore } from '../workshop/build/build-ports.ts'
import { readJson, readRow } from './read-row.ts'
import type { SqliteDatabase } from './sqlite.ts'
import { makeWorkRecordStore } from './work-records.ts'

const Row = Build.pick({ id: true, productId: true, revision: true, startedAt: true, station: true }).extend({
  content: z.string(),
  serials: z.string(),
})
const columns = `seq AS id, product_id AS productId, revision, started_at AS startedAt, station, content,
  (SELECT json_group_array(serial) FROM (SELECT serial FROM build_unit WHERE build_id = build.seq ORDER BY position))
    AS serials`

function readBuild(raw: unknown): Build {
  const place = `build ${(raw as { id: number }).id}`
  const { content, serials, ...head } = readRow(Row, raw, place)
  const all = { ...(readJson(content, place) as object), ...head, serials: readJson(serials, place) }
  return readRow(Build, all, place)
}

const readFitted = (raw: unknown): FittedPart => {
  const { serial, designator } = raw as { serial: string; designator: string }
  return readRow(FittedPart, raw, `${designator} of unit ${serial}`)
}

/** Builds in the file, what went into their units, and the work on them. */
export function makeBuildStore(db: SqliteDatabase): BuildStore {
  const find = db.prepare(`SELECT ${columns} FROM build WHERE seq = ?`)
  const list = db.prepare(
    `SELECT ${columns} FROM build WHERE (:productId IS NULL OR product_id = :productId) ORDER BY seq DESC`,
  )
  const ofUnit = db.prepare(
    `SELECT ${columns} FROM build WHERE seq = (SELECT build_id FROM build_unit WHERE serial = ?)`,
  )
  const insert = db.prepare(
    `INSERT INTO build (product_id, revision, started_at, station, content)
     VALUES (:productId, :revision, :startedAt, :station, :content)`,
  )
  const insertUnit = db.prepare(
    'INSERT INTO build_unit (serial, build_id, position) VALUES (:serial, :buildId, :position)',
  )
  const insertFitted = db.prepare(
    `INSERT INTO fitted_part (serial, designator, lot_id, part, pieces)
     VALUES (:serial, :designator, :lotId, :part, :pieces)`,
  )
  const fittedIn = db.prepare(
    'SELECT serial, designator, part, lot_id AS lotId, pieces FROM fitted_part WHERE serial = ? ORDER BY rowid',
  )
  const readOne = (row: unknown) => (row === undefined ? undefined : readBuild(row))
  return {
    find: (id) => readOne(find.get(id)),
    list: ({ productId }) => list.all({ productId: productId ?? null }).map(readBuild),
    ofUnit: (serial) => readOne(ofUnit.get(serial)),
    insert(build) {
      const { productId, revision, startedAt, station, serials, ...content } = Build.omit({ id: true }).parse(build)
      const head = { productId, revision, startedAt, station, content: JSON.stringify(content) }
      const buildId = Number(insert.run(head).lastInsertRowid)
      for (const [position, serial] of serials.entries()) insertUnit.run({ serial, buildId, position })
      return buildId
    },
    insertFitted(fitted) {
      for (const part of fitted) insertFitted.run(part)
    },
    fittedIn: (serial) => fittedIn.all(serial).map(readFitted),
    ...makeSerialQueries(db),
    ...makeWorkRecordStore(db),
  }
}

function makeSerialQueries(db: SqliteDatabase): Pick<BuildStore, 'serialsWithLot' | 'serialsBeginning'> {
  const withLot = db
    .prepare(
      `SELECT serial FROM fitted_part WHERE lot_id = :lotId
       UNION SELECT rework.serial FROM rework_lot JOIN rework ON rework.seq = rework_lot.rework_id
         WHERE rework_lot.lot_id = :lotId
       ORDER BY serial`,
    )
    .pluck()
  const beginning = db.prepare('SELECT serial FROM unit WHERE substr(serial, 1, length(:text)) = :text').pluck()
  return {
    serialsWithLot: (lotId) => withLot.all({ lotId }) as string[],
    serialsBeginning: (text) => beginning.all({ text }) as string[],
  }
}
