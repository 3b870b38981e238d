import { writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { beforeAll, expect, test } from 'vitest'
import { openStore } from '../../src/store/open-store.ts'
import { makeWorkshop } from '../../src/workshop/make-workshop.ts'
import type { SettingRecording } from '../../src/workshop/workshop.ts'
import { newWorkshop } from './new-workshop.ts'
import { product, record, recordReference, silenced } from './rig-recordings.ts'

let ofReference: SettingRecording[]
let good: SettingRecording[]
beforeAll(async () => {
  ofReference = await recordReference()
  good = await record({ serial: 'PLV-0001' })
})

test('a revision never changes: the same content again is accepted, other content refused', () => {
  const workshop = newWorkshop()
  const before = workshop.lastSeq()
  expect(workshop.addProduct(structuredClone(product))).toEqual(product)
  expect(workshop.lastSeq()).toBe(before)
  const changed = { ...product, testPlan: { ...product.testPlan, gainToleranceDb: 9 } }
  expect(() => workshop.addProduct(changed)).toThrow(expect.objectContaining({ code: 'revision-frozen' }))
  expect(workshop.product()).toEqual(product)
})

test('a product that contradicts itself is refused with the place', () => {
  const wrong = { ...product, testPlan: { ...product.testPlan, settings: ['loud'] } }
  expect(() => newWorkshop({ withProduct: false }).addProduct(wrong)).toThrow(
    expect.objectContaining({ code: 'bad-product', message: expect.stringContaining('testPlan.settings') }),
  )
})

test('the newest revision is the one that is made; units keep theirs', () => {
  const workshop = newWorkshop()
  workshop.registerUnit({ serial: 'PLV-0001' })
  workshop.addProduct({ ...product, revision: 'B' })
  expect(workshop.product().revision).toBe('B')
  expect(workshop.product('plover', 'A')).toEqual(product)
  expect(workshop.product(undefined, 'A')).toEqual(product)
  expect(() => workshop.product(undefined, 'Z')).toThrow(expect.objectContaining({ code: 'not-found' }))
  expect(workshop.products().map((p) => p.revision)).toEqual(['B'])
  expect(workshop.registerUnit({ serial: 'PLV-0002' }).revision).toBe('B')
  expect(workshop.unit('PLV-0001').unit.revision).toBe('A')
})

test('the only product needs no name; among several one must be named', () => {
  const workshop = newWorkshop({ withProduct: false })
  expect(() => workshop.product()).toThrow(expect.objectContaining({ code: 'not-found' }))
  workshop.addProduct(product)
  expect(workshop.product()).toEqual(product)
  workshop.addProduct({ ...product, id: 'dunlin', name: 'Dunlin' })
  expect(() => workshop.product()).toThrow(
    expect.objectContaining({ code: 'not-found', message: expect.stringContaining('dunlin, plover') }),
  )
  expect(workshop.product('dunlin').name).toBe('Dunlin')
  expect(() => workshop.product('plover', 'Z')).toThrow(expect.objectContaining({ code: 'not-found' }))
})

test('a reference serves a new revision while the circuit is the same, and no longer when it has changed', () => {
  const workshop = newWorkshop()
  expect(workshop.currentReference()).toBeUndefined()
  const first = workshop.addReference({ recordings: ofReference, note: 'new pins' })
  expect(first).toMatchObject({ version: 1, revision: 'A', note: 'new pins', station: 'bench' })
  workshop.addProduct({ ...product, revision: 'B', testPlan: { ...product.testPlan, gainToleranceDb: 1.2 } })
  expect(workshop.currentReference()).toEqual(first)
  const { run } = workshop.recordTestRun({ serial: 'PLV-0001', rig: 'upload', recordings: good })
  expect(run).toMatchObject({ revision: 'B', referenceVersion: 1 })
  const elements = product.circuit.elements.slice(0, -1)
  workshop.addProduct({ ...product, revision: 'C', circuit: { ...product.circuit, elements } })
  expect(workshop.currentReference()).toBeUndefined()
  expect(() => workshop.recordTestRun({ serial: 'PLV-0009', rig: 'upload', recordings: good })).toThrow(
    expect.objectContaining({ code: 'no-reference' }),
  )
  // The unit of revision B is still tested by what it was built to.
  expect(workshop.recordTestRun({ serial: 'PLV-0001', rig: 'upload', recordings: good }).run.verdict).toBe('pass')
  expect(workshop.addReference({ recordings: ofReference }).version).toBe(2)
  expect(workshop.references().map((r) => r.version)).toEqual([2, 1])
  expect(workshop.check().findings).toEqual([])
})

test.each([
  ['a recording with nothing on it', () => silenced(ofReference), 'recording-refused'],
  ['a setting of the plan left out', () => ofReference.filter((r) => r.setting !== 'min'), 'setting-missing'],
  [
    'a setting the product does not have',
    () => [...ofReference, { ...ofReference[0], setting: 'loud' }],
    'setting-unknown',
  ],
])('no reference is made from %s', (_what, recordings, code) => {
  const workshop = newWorkshop()
  expect(() => workshop.addReference({ recordings: recordings() })).toThrow(expect.objectContaining({ code }))
  expect(workshop.references()).toEqual([])
})

test('units are registered once, found by state and by a part of their number, newest change first', () => {
  const workshop = newWorkshop()
  for (const serial of ['PLV-0001', 'plv-0002', 'PLV-0103']) workshop.registerUnit({ serial })
  expect(() => workshop.registerUnit({ serial: 'plv-0001' })).toThrow(expect.objectContaining({ code: 'unit-exists' }))
  expect(workshop.units().map((u) => u.serial)).toEqual(['PLV-0103', 'PLV-0002', 'PLV-0001'])
  expect(workshop.units({ search: ' v-01' }).map((u) => u.serial)).toEqual(['PLV-0103'])
  expect(workshop.units({ search: '%' })).toEqual([])
  expect(workshop.units({ state: 'ready' })).toEqual([])
  expect(workshop.units({ state: 'untested', search: '000' }).map((u) => u.serial)).toEqual(['PLV-0002', 'PLV-0001'])
  expect(workshop.nextToTest()?.serial).toBe('PLV-0001')
  expect(workshop.summary()).toMatchObject({ units: 3, products: 1, unitsByState: { untested: 3, ready: 0 } })
  expect(() => workshop.unit('PLV-9999')).toThrow(expect.objectContaining({ code: 'not-found' }))
  expect(() => workshop.unit('a/b')).toThrow(expect.objectContaining({ code: 'bad-serial' }))
  expect(() => workshop.testRun('R-1')).toThrow(expect.objectContaining({ code: 'not-found' }))
  expect(() => workshop.rejudge('R-1')).toThrow(expect.objectContaining({ code: 'not-found' }))
})

test('what one program writes another one sees, by number and by a version that only grows', () => {
  const bench = newWorkshop()
  const desk = newWorkshop({ file: bench.file, station: 'desk', withProduct: false })
  const versions = [desk.dataVersion()]
  const seq = desk.lastSeq()
  bench.registerUnit({ serial: 'PLV-0001' })
  versions.push(desk.dataVersion())
  desk.registerUnit({ serial: 'PLV-0002' })
  versions.push(desk.dataVersion())
  expect(versions).toEqual([...new Set(versions)].sort((a, b) => a - b))
  expect(desk.dataVersion()).toBe(versions.at(-1))
  expect(desk.journalSince(seq).map((e) => [e.station, e.key])).toEqual([
    ['bench', 'PLV-0001'],
    ['desk', 'PLV-0002'],
  ])
  expect(desk.journalSince(seq, 1).length).toBe(1)
})

test('every change is in the journal, with time and station (invariant 6)', () => {
  const workshop = newWorkshop({ station: 'bench by the window' })
  workshop.addReference({ recordings: ofReference })
  workshop.registerUnit({ serial: 'PLV-0001' })
  workshop.recordTestRun({ serial: 'PLV-0001', rig: 'wave-files', recordings: good })
  const entries = workshop.journalSince(0)
  expect(entries.map((entry) => [entry.verb, entry.noun])).toEqual([
    ['add-product', 'product'],
    ['add-reference', 'reference'],
    ['register-unit', 'unit'],
    ['record-test-run', 'test-run'],
    ['record-test-run', 'unit'],
  ])
  for (const entry of entries) {
    expect(entry.station).toBe('bench by the window')
    expect(entry.at).toMatch(/^2026-03-04T09:00:\d\d\.000Z$/)
  }
})

test('a backup is opened and checked, and works as a workshop', async () => {
  const workshop = newWorkshop()
  workshop.addReference({ recordings: ofReference })
  const { run } = workshop.recordTestRun({ serial: 'PLV-0001', rig: 'upload', recordings: good })
  const path = join(dirname(workshop.file), 'backup.boardwright')
  const report = await workshop.backup(path)
  expect(report).toMatchObject({ path, check: { ok: true, runsChecked: 1, unitsChecked: 1 } })
  const copy = makeWorkshop({ store: openStore(path), station: 'bench' })
  expect(copy.testRun(run.id)).toEqual(workshop.testRun(run.id))
  expect(copy.recordTestRun({ serial: 'PLV-0002', rig: 'upload', recordings: good }).run.verdict).toBe('pass')
  copy.close()
  writeFileSync(join(dirname(workshop.file), 'letter'), 'Dear customer')
  await expect(workshop.backup(join(dirname(workshop.file), 'letter'))).rejects.toMatchObject({
    code: 'file-not-writable',
  })
})
