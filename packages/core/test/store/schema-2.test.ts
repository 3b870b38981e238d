import { createHash } from 'node:crypto'
import { readdirSync } from 'node:fs'
import { dirname, join } from 'node:path'
import Database from 'better-sqlite3'
import { expect, test } from 'vitest'
import { openStore } from '../../src/store/open-store.ts'
import { schema1 } from '../../src/store/schema-1.ts'
import { newWorkshop } from '../workshop/new-workshop.ts'
import { record, recordReference, wrongCapacitor } from '../workshop/rig-recordings.ts'
import { temporaryFolder } from './temporary-folder.ts'
import { makeVersion1File } from './version-1-file.ts'

const rig = 'simulated' as const

test('a schema that has landed never changes', () => {
  // Taken when schema 2 was made; makers' files stand on it.
  const digest = createHash('sha256').update(schema1).digest('hex')
  expect(digest).toBe('f061a800257283669b59779571440759357686898704d2f5efb9b7af98098ea1')
})

test('a file of schema 1 is copied and brought forward; its verdicts still compute, its failed units can be mended', async () => {
  const folder = temporaryFolder()
  const today = newWorkshop({ file: join(folder, 'today.boardwright') })
  today.addReference({ recordings: await recordReference(1) })
  const good = await record({ serial: 'PLV-0001' })
  today.recordTestRun({ serial: 'PLV-0001', rig, recordings: good })
  const bad = await record({ serial: 'PLV-0002', faults: wrongCapacitor })
  const failed = today.recordTestRun({ serial: 'PLV-0002', rig, recordings: bad }).run
  const before = { units: today.units(), journal: today.journalSince(0) }
  today.close()
  const path = join(folder, 'old.boardwright')
  makeVersion1File({ from: today.file, path })
  const old = new Database(path, { readonly: true })
  expect(old.prepare("SELECT count(*) FROM sqlite_schema WHERE name IN ('rework', 'diagnosis')").pluck().get()).toBe(0)
  old.close()

  const workshop = newWorkshop({ file: path, withProduct: false })
  expect(readdirSync(dirname(path)).filter((name) => /old\.boardwright\.schema-1\..*backup$/.test(name))).toHaveLength(
    1,
  )
  expect({ units: workshop.units(), journal: workshop.journalSince(0) }).toEqual(before)
  expect(workshop.check()).toMatchObject({ ok: true, runsChecked: 2, unitsChecked: 2 })
  expect(workshop.summary().diagnosis).toMatchObject({ first: { cases: 0, rate: null }, waiting: 0 })
  const kept = await workshop.diagnoseRun({ serial: 'PLV-0002' })
  expect(kept).toMatchObject({ id: 1, runId: failed.id })
  const mended = workshop.recordRework({ serial: 'PLV-0002', designator: 'C7', action: 'replaced' })
  expect(mended.unit.state).toBe('untested')
  expect(workshop.check()).toMatchObject({ ok: true })
  workshop.close()
  // A second program finds it done.
  openStore(path).close()
  expect(readdirSync(folder).filter((name) => name.endsWith('.backup'))).toHaveLength(1)
})
