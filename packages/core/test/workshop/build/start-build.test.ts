import Database from 'better-sqlite3'
import { expect, test } from 'vitest'
import type { Product } from '../../../src/model/product.ts'
import { newWorkshop } from '../new-workshop.ts'
import { product } from '../rig-recordings.ts'
import { stockedWorkshop, stockOf } from './stocked-workshop.ts'

const code = (expected: string, message = /./) =>
  expect.objectContaining({ code: expected, message: expect.stringMatching(message) })
/** Another revision of the product, with changes. */
const revised = (changes: Partial<Product>): Product => ({ ...product, revision: 'B', ...changes })

test('a plan says what to lay out, from which lots, and stores nothing', () => {
  const { builds, stock, lastSeq, close } = stockedWorkshop()
  const before = lastSeq()
  const plan = builds.plan({ units: 7 })
  expect(plan).toMatchObject({
    productId: 'plover',
    revision: 'A',
    units: 7,
    order: 'inside-out',
    ready: true,
    unlisted: [],
  })
  expect(plan.serials).toEqual(['1', '2', '3', '4', '5', '6', '7'].map((n) => `PLV-000${n}`))
  const line = (part: string) => plan.lines.find((one) => one.part === part)
  expect(line('MF25-10K')).toMatchObject({
    ...{ designators: ['R5', 'R6'], piecesPerUnit: 2, needed: 14, value: '10 kohm', known: true },
    takes: [{ lotId: 'L-0004', pieces: 14 }],
  })
  expect(line('HW-24-RED')).toMatchObject({ needed: 21, piecesPerUnit: 3 })
  // One unit more, and the older lot of 14 is too small for the whole build.
  expect(builds.plan({ units: 8 }).lines.find(({ part }) => part === 'MF25-10K')?.takes).toEqual([
    { lotId: 'L-0005', part: 'MF25-10K', pieces: 16 },
  ])
  expect(plan.steps.at(0)).toMatchObject({ kind: 'place', group: 'solder side' })
  expect(plan.steps.map(({ kind }) => kind)).toEqual(
    expect.arrayContaining(['trim', 'touch-up', 'clean', 'look-over', 'rig', 'label']),
  )
  expect(lastSeq()).toBe(before)
  expect(stock.lots().every(({ stock: left, received }) => left === received)).toBe(true)
  close()
})

test('what is short is named, with when it can be here and what waits', () => {
  const { builds, stock, lastSeq } = stockedWorkshop()
  stock.decideLot({ lot: 'L-0016', state: 'held', reason: 'odd print' })
  const { lines, ready } = builds.plan({ units: 3 })
  expect(ready).toBe(false)
  expect(lines.filter(({ short }) => short > 0)).toMatchObject([
    // The clock of the test stands on 4 March 2026; the lead time is 12 days.
    { part: 'FB63-33N', short: 6, expectedOn: '2026-03-16', waiting: [{ lotId: 'L-0016', state: 'held', stock: 20 }] },
  ])
  const before = lastSeq()
  expect(() => builds.start({ units: 3 })).toThrow(code('stock-short', /FB63-33N \(6 of 6 missing\)/))
  expect(lastSeq()).toBe(before)
  // The alternative of the parts list stands in.
  stock.savePart({ number: 'FB100-33N', kind: 'capacitor', value: '33 nF' })
  stock.receiveLot({ part: 'FB100-33N', pieces: 6, lot: 'ALT' })
  expect(builds.start({ units: 3 }).movements).toContainEqual(expect.objectContaining({ lotId: 'ALT', pieces: -6 }))
})

test('starting takes the parts out of stock, gives serial numbers, and keeps which lot went where', () => {
  const workshop = stockedWorkshop()
  const before = stockOf(workshop)
  const { build, state, units, movements } = workshop.builds.start({ units: 3, note: 'for the spring orders' })
  expect(build).toMatchObject({ id: 1, serials: ['PLV-0001', 'PLV-0002', 'PLV-0003'], note: 'for the spring orders' })
  expect({ state, units: units.map((unit) => unit.state) }).toEqual({
    state: 'working',
    units: ['building', 'building', 'building'],
  })
  const after = stockOf(workshop)
  for (const { lotId, kind, pieces, buildId } of movements) {
    expect({ kind, buildId }).toEqual({ kind: 'issued', buildId: 1 })
    expect(after[lotId]).toBe(before[lotId]! + pieces)
  }
  expect(before['L-0004']! - after['L-0004']!).toBe(6)
  expect(before['L-0025']! - after['L-0025']!).toBe(9)
  for (const serial of build.serials) {
    const { places, replaced, buildId } = workshop.builds.traceUnit(serial)
    expect({ replaced, buildId }).toEqual({ replaced: [], buildId: 1 })
    expect(places.map(({ designator }) => designator).sort()).toEqual(
      product.partsList!.map((one) => one.designator).sort(),
    )
    expect(places.find(({ designator }) => designator === 'U1')).toMatchObject({
      part: 'DA-2X3',
      lotId: 'U-LOT',
      pieces: 1,
    })
  }
  expect(workshop.unit('PLV-0002').history[0]).toMatchObject({ verb: 'register-unit', detail: { state: 'building' } })
  expect(workshop.journalSince(0).at(-1)).toMatchObject({
    ...{ verb: 'start-build', noun: 'build', key: '1' },
    detail: { serials: build.serials, lots: { 'L-0004': 6 } },
  })
  // Half-built boards are neither tested nor reworked nor offered to the rig.
  expect(workshop.nextToTest()).toBeUndefined()
  expect(() => workshop.recordRework({ serial: 'PLV-0001', designator: 'R1', action: 'replaced' })).toThrow(
    code('unit-not-reworkable'),
  )
  expect(workshop.check()).toMatchObject({ ok: true, findings: [] })
})

test('serial numbers go on after the highest in use and are never given twice', () => {
  const workshop = stockedWorkshop()
  workshop.registerUnit({ serial: 'PLV-0007' })
  const serials = (options: { firstNumber?: number } = {}) =>
    workshop.builds.start({ units: 1, ...options }).build.serials
  expect(serials()).toEqual(['PLV-0008'])
  expect(serials({ firstNumber: 20 })).toEqual(['PLV-0020'])
  expect(serials()).toEqual(['PLV-0021'])
  new Database(workshop.file).prepare("UPDATE unit SET state = 'scrapped' WHERE serial = 'PLV-0021'").run()
  expect(serials()).toEqual(['PLV-0022'])
  expect(() => serials({ firstNumber: 9 })).toThrow(code('bad-argument', /number 23/))
  workshop.registerUnit({ serial: 'PLV-9998' })
  expect(() => workshop.builds.plan({ units: 2 })).toThrow(code('serials-used-up', /9999/))
})

test('a pattern with a check character makes such numbers, and a mistyped one is found before it becomes a unit', () => {
  const workshop = stockedWorkshop()
  workshop.addProduct(revised({ serialPattern: 'PLV-####-?' }))
  const [serial] = workshop.builds.start({ units: 1 }).build.serials as [string]
  expect(serial).toMatch(/^PLV-0001-[0-9A-Z]$/)
  const wrong = `PLV-0002-${serial.at(-1)}`
  expect(() => workshop.registerUnit({ serial: wrong })).toThrow(code('bad-serial', /mistyped/))
  // An older label without the character is still taken; its number counts.
  workshop.registerUnit({ serial: 'PLV-0005' })
  expect(workshop.builds.plan({ units: 1 }).serials[0]).toMatch(/^PLV-0006-/)
})

test.each([
  [{ partsList: undefined }, 'parts-list-missing', /no parts list/],
  [
    { partsList: product.partsList!.filter(({ designator }) => designator !== 'C9') },
    'parts-list-missing',
    /says nothing of C9/,
  ],
])('without a whole parts list nothing starts (%#)', (changes, expected, sentence) => {
  const workshop = stockedWorkshop()
  workshop.addProduct(revised(changes))
  expect(() => workshop.builds.start({ units: 1 })).toThrow(code(expected, sentence))
  expect(workshop.builds.list()).toEqual([])
  // The older revision can still be built.
  expect(workshop.builds.start({ units: 1, revision: 'A' }).build.revision).toBe('A')
})

test.each([0, -1, 1.5, 501, Number.NaN])('%d units are no build', (units) => {
  expect(() => stockedWorkshop().builds.plan({ units })).toThrow(code('bad-argument'))
})

test('a revised product changes no unit and no build that is there', () => {
  const workshop = stockedWorkshop()
  const { build } = workshop.builds.start({ units: 1 })
  const trace = workshop.builds.traceUnit('PLV-0001')
  const csv = 'designator,part\nC7,FB100-33N\nC8,FB100-33N\n'
  const rest = product.partsList!.filter(({ extra, designator }) => !extra && !['C7', 'C8'].includes(designator))
  const whole = csv + rest.map(({ designator, part }) => `${designator},${part}\n`).join('')
  expect(workshop.builds.importPartsList({ csv: whole, saveAs: 'B' }).product?.revision).toBe('B')
  expect(workshop.builds.show(1).build).toEqual(build)
  expect(workshop.builds.traceUnit('PLV-0001')).toEqual(trace)
  expect(workshop.unit('PLV-0001').unit.revision).toBe('A')
  expect(workshop.builds.plan({ units: 1 }).lines.map(({ part }) => part)).toContain('FB100-33N')
})

test('the file itself keeps builds, fitted parts and work as they were', () => {
  const workshop = stockedWorkshop()
  workshop.builds.start({ units: 1 })
  workshop.builds.recordWork({ buildId: 1, step: 'trim' })
  const other = new Database(workshop.file)
  for (const table of ['build', 'build_unit', 'fitted_part', 'work_record', 'stock_movement', 'part']) {
    expect(() => other.exec(`DELETE FROM ${table}`), table).toThrow(/never|frozen/)
    expect(() => other.exec(`INSERT OR REPLACE INTO ${table} SELECT * FROM ${table}`), table).toThrow()
  }
  for (const sql of [
    "UPDATE build SET revision = 'A'",
    "UPDATE fitted_part SET lot_id = 'L-0001'",
    "UPDATE work_record SET mark = 'undone'",
    "INSERT INTO stock_movement (lot_id, at, station, kind, pieces, build_id, reason) VALUES ('L-0004', '', '', 'issued', -100, 1, '')",
  ])
    expect(() => other.exec(sql), sql).toThrow(/never|no fewer/)
  workshop.stock.decideLot({ lot: 'L-0005', state: 'refused', reason: 'test' })
  expect(() =>
    other.exec(
      "INSERT INTO stock_movement (lot_id, at, station, kind, pieces, build_id, reason) VALUES ('L-0005', '', '', 'issued', -1, 1, '')",
    ),
  ).toThrow(/accepted lot/)
  other.close()
})

test('a workshop without lots says so', () => {
  const { builds } = newWorkshop()
  expect(builds.plan({ units: 1 }).lines.every(({ short, known }) => short > 0 && !known)).toBe(true)
  expect(() => builds.start({ units: 1 })).toThrow(code('stock-short', /and \d+ more/))
  expect(() => builds.show(1)).toThrow(code('not-found'))
})
