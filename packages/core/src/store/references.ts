import { z } from 'zod'
import { Reference, ReferenceSetting } from '../model/reference.ts'
import type { ResponseCurve } from '../model/response-curve.ts'
import { RigVersion } from '../model/rig.ts'
import type { ReferenceStore } from '../workshop/ports.ts'
import { decodeNumbers, encodeNumbers } from './number-array.ts'
import { readJson, readRow } from './read-row.ts'
import type { SqliteDatabase } from './sqlite.ts'

const columns = 'product_id AS productId, version, revision, created_at AS createdAt, station, note, sweep'

const HeadRow = Reference.omit({ settings: true, sweep: true, rigSettings: true }).extend({ sweep: z.string() })
const blob = z.instanceof(Uint8Array)
const SettingRow = ReferenceSetting.omit({ curve: true, repeatabilityDb: true }).extend({
  frequencyHz: blob,
  gainDb: blob,
  phaseDeg: blob,
  uncertaintyDb: blob,
  repeatabilityDb: blob,
})

function readSetting(raw: unknown, place: string): ReferenceSetting {
  const { setting, runs, polarity, gainAt1kHzDb, ...blobs } = readRow(SettingRow, raw, place)
  const numbers = (column: keyof typeof blobs) => Array.from(decodeNumbers(blobs[column], `${place} ${column}`))
  const curve: ResponseCurve = {
    frequencyHz: numbers('frequencyHz'),
    gainDb: numbers('gainDb'),
    phaseDeg: numbers('phaseDeg'),
    uncertaintyDb: numbers('uncertaintyDb'),
  }
  const repeatabilityDb = numbers('repeatabilityDb')
  return readRow(ReferenceSetting, { setting, runs, polarity, gainAt1kHzDb, curve, repeatabilityDb }, place)
}

/** Reference versions in the file; a version never changes once it is in. */
export function makeReferenceStore(db: SqliteDatabase): ReferenceStore {
  const list = db.prepare(`SELECT ${columns} FROM reference WHERE product_id = ? ORDER BY version DESC`)
  const find = db.prepare(`SELECT ${columns} FROM reference WHERE product_id = ? AND version = ?`)
  const newest = db.prepare(
    `SELECT ${columns} FROM reference WHERE product_id = ? AND revision IN (SELECT value FROM json_each(?))
     ORDER BY version DESC LIMIT 1`,
  )
  const lastVersion = db.prepare('SELECT coalesce(max(version), 0) FROM reference WHERE product_id = ?').pluck()
  const settings = db.prepare(
    `SELECT setting, runs, polarity, gain_at_1khz_db AS gainAt1kHzDb, frequency_hz AS frequencyHz, gain_db AS gainDb,
       phase_deg AS phaseDeg, uncertainty_db AS uncertaintyDb, repeatability_db AS repeatabilityDb
     FROM reference_setting WHERE product_id = ? AND version = ? ORDER BY position`,
  )
  const rigOf = db.prepare('SELECT name, version FROM reference_rig WHERE product_id = ? AND reference_version = ?')
  const insertRig = db.prepare(
    `INSERT INTO reference_rig (product_id, reference_version, name, version)
     VALUES (:productId, :referenceVersion, :name, :version)`,
  )
  const insertHead = db.prepare(
    `INSERT INTO reference (product_id, version, revision, created_at, station, note, sweep)
     VALUES (:productId, :version, :revision, :createdAt, :station, :note, :sweep)`,
  )
  const insertSetting = db.prepare(
    `INSERT INTO reference_setting (product_id, version, position, setting, runs, polarity, gain_at_1khz_db,
       frequency_hz, gain_db, phase_deg, uncertainty_db, repeatability_db)
     VALUES (:productId, :version, :position, :setting, :runs, :polarity, :gainAt1kHzDb,
       :frequencyHz, :gainDb, :phaseDeg, :uncertaintyDb, :repeatabilityDb)`,
  )

  const read = (raw: unknown): Reference => {
    const { productId, version } = raw as { productId: string; version: number }
    const place = `reference ${productId} version ${version}`
    const head = readRow(HeadRow, raw, place)
    const rows = settings.all(productId, version).map((row) => readSetting(row, place))
    const rig = rigOf.get(productId, version)
    const rigSettings = rig === undefined ? null : readRow(RigVersion, rig, place)
    return readRow(Reference, { ...head, sweep: readJson(head.sweep, place), rigSettings, settings: rows }, place)
  }
  const readOne = (raw: unknown): Reference | undefined => (raw === undefined ? undefined : read(raw))

  return {
    list: (productId) => list.all(productId).map(read),
    find: ({ productId, version }) => readOne(find.get(productId, version)),
    newest: ({ productId, revisions }) => readOne(newest.get(productId, JSON.stringify(revisions))),
    lastVersion: (productId) => lastVersion.get(productId) as number,
    insert(reference) {
      const { settings: rows, sweep, rigSettings, ...head } = Reference.parse(reference)
      insertHead.run({ ...head, sweep: JSON.stringify(sweep) })
      if (rigSettings) insertRig.run({ ...rigSettings, productId: head.productId, referenceVersion: head.version })
      rows.forEach(({ curve, repeatabilityDb, ...row }, position) => {
        insertSetting.run({
          ...row,
          productId: head.productId,
          version: head.version,
          position,
          frequencyHz: encodeNumbers(curve.frequencyHz),
          gainDb: encodeNumbers(curve.gainDb),
          phaseDeg: encodeNumbers(curve.phaseDeg),
          uncertaintyDb: encodeNumbers(curve.uncertaintyDb),
          repeatabilityDb: encodeNumbers(repeatabilityDb),
        })
      })
    },
  }
}
