import Database from 'better-sqlite3'
import { expect, test } from 'vitest'
import { newWorkshop } from '../workshop/new-workshop.ts'
import { record, recordReference } from '../workshop/rig-recordings.ts'

/** Every column of numbers that holds something, with one of its rows. */
function blobPlaces(db: Database.Database): { table: string; column: string; rowid: number }[] {
  const tables = db.prepare("SELECT name FROM sqlite_schema WHERE type = 'table'").pluck().all() as string[]
  return tables.flatMap((table) => {
    const columns = db.pragma(`table_info(${table})`) as { name: string; type: string }[]
    return columns
      .filter(({ type }) => type === 'BLOB')
      .flatMap(({ name: column }) => {
        const rowid = db.prepare(`SELECT max(rowid) FROM ${table} WHERE ${column} IS NOT NULL`).pluck().get()
        return typeof rowid === 'number' ? [{ table, column, rowid }] : []
      })
  })
}

test('one changed bit in any stored curve or impulse response is found by the check, and it is named', async () => {
  const workshop = newWorkshop()
  workshop.addReference({ recordings: await recordReference(1) })
  const { run } = workshop.recordTestRun({
    serial: 'PLV-0001',
    rig: 'upload',
    recordings: await record({ serial: 'PLV-0001' }),
  })
  expect(workshop.check().findings).toEqual([])
  const other = new Database(workshop.file)
  for (const trigger of other.prepare("SELECT name FROM sqlite_schema WHERE type = 'trigger'").pluck().all())
    other.exec(`DROP TRIGGER ${trigger}`)
  const places = blobPlaces(other)
  expect(places.map(({ table, column }) => `${table}.${column}`)).toEqual(
    expect.arrayContaining(['reference_setting.gain_db', 'measurement.phase_deg', 'impulse_response.samples']),
  )
  for (const { table, column, rowid } of places) {
    const select = other.prepare(`SELECT ${column} FROM ${table} WHERE rowid = ?`).pluck()
    const update = other.prepare(`UPDATE ${table} SET ${column} = ? WHERE rowid = ?`)
    const sound = select.get(rowid) as Buffer
    const changed = Buffer.from(sound)
    // The last bit of a number's fraction: it moves no verdict.
    changed[16] ^= 1
    update.run(changed, rowid)
    const { ok, findings } = workshop.check()
    expect(ok, `${table}.${column}`).toBe(false)
    expect(findings[0]).toMatchObject({ code: 'row-not-readable', message: expect.stringContaining('changed') })
    update.run(sound, rowid)
  }
  expect(workshop.check().findings).toEqual([])
  expect(workshop.testRun(run.id).run.verdict).toBe('pass')
  other.close()
}, 60_000)
