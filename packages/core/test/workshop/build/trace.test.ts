import Database from 'better-sqlite3'
import { expect, test } from 'vitest'
import { boardSteps } from '../../../src/model/build.ts'
import { record, recordReference } from '../rig-recordings.ts'
import { stockedWorkshop } from './stocked-workshop.ts'

const code = (expected: string, message = /./) =>
  expect.objectContaining({ code: expected, message: expect.stringMatching(message) })

function builtUnits(units: number) {
  const workshop = stockedWorkshop()
  const { build } = workshop.builds.start({ units })
  for (const { key } of boardSteps(build.steps)) workshop.builds.recordWork({ buildId: 1, step: key })
  workshop.stock.savePart({ number: 'FB100-33N', kind: 'capacitor', value: '33 nF' })
  workshop.stock.receiveLot({ part: 'FB100-33N', pieces: 2, lot: 'SPARE' })
  const replace = (serial: string, designator: string, lot?: string) =>
    workshop.recordRework({ serial, designator, action: 'replaced', lot })
  return { workshop, replace }
}

test('from lot to units: who must be told, and what can be kept back', async () => {
  const { workshop, replace } = builtUnits(4)
  replace('PLV-0002', 'C7', 'SPARE')
  replace('PLV-0003', 'C7', 'SPARE')
  replace('PLV-0003', 'C8', 'green bag')
  // One is sold: it has passed, and nothing was reworked after.
  workshop.addReference({ recordings: await recordReference(1) })
  workshop.recordTestRun({ serial: 'PLV-0001', rig: 'simulated', recordings: await record({ serial: 'PLV-0001' }) })
  const other = new Database(workshop.file)
  other.exec(
    "UPDATE unit SET state = 'shipped' WHERE serial = 'PLV-0001'; UPDATE unit SET state = 'scrapped' WHERE serial = 'PLV-0004'",
  )
  other.close()
  const trace = workshop.stock.traceLot('l-0016')
  expect(trace.lot).toMatchObject({ id: 'L-0016', part: 'FB63-33N', stock: 20 - 8 })
  expect(
    trace.units.map(({ serial, state, inside, removed }) => ({
      serial,
      state,
      inside: inside.map((one) => one.designator),
      removed: removed.map((one) => one.designator),
    })),
  ).toEqual([
    { serial: 'PLV-0001', state: 'shipped', inside: ['C7', 'C8'], removed: [] },
    { serial: 'PLV-0002', state: 'untested', inside: ['C8'], removed: ['C7'] },
    { serial: 'PLV-0003', state: 'untested', inside: [], removed: ['C7', 'C8'] },
    { serial: 'PLV-0004', state: 'scrapped', inside: ['C7', 'C8'], removed: [] },
  ])
  expect({ toTell: trace.toTell, toKeep: trace.toKeep }).toEqual({ toTell: ['PLV-0001'], toKeep: ['PLV-0002'] })
  expect(workshop.stock.traceLot('SPARE').units.map(({ serial, inside }) => [serial, inside])).toEqual([
    ['PLV-0002', [{ designator: 'C7', pieces: 1, reworkId: 1 }]],
    ['PLV-0003', [{ designator: 'C7', pieces: 1, reworkId: 2 }]],
  ])
  expect(workshop.check()).toMatchObject({ ok: true, findings: [] })
})

test('a rework that names a lot takes its piece out of stock and replaces the lot in the trace', () => {
  const { workshop, replace } = builtUnits(1)
  const { rework } = replace('PLV-0001', 'C7', 'spare')
  expect(rework).toMatchObject({ part: 'FB100-33N', lot: 'spare' })
  expect(workshop.stock.lot('SPARE').movements.at(-1)).toMatchObject({
    kind: 'used-in-rework',
    pieces: -1,
    reworkId: 1,
  })
  const { places, replaced } = workshop.builds.traceUnit('PLV-0001')
  expect(places.find(({ designator }) => designator === 'C7')).toMatchObject({
    lotId: 'SPARE',
    part: 'FB100-33N',
    reworkId: 1,
  })
  expect(replaced).toMatchObject([{ designator: 'C7', lotId: 'L-0016', replacedBy: 1 }])
  // Resoldering takes nothing; words that name no lot stay words.
  workshop.recordRework({ serial: 'PLV-0001', designator: 'C8', action: 'resoldered', lot: 'SPARE' })
  replace('PLV-0001', 'R1', 'green bag of May')
  expect(workshop.stock.lot('SPARE').lot.stock).toBe(1)
  expect(workshop.builds.traceUnit('PLV-0001').places.find(({ designator }) => designator === 'R1')).toMatchObject({
    ...{ lotId: null, lotWords: 'green bag of May' },
  })
})

test('a rework takes nothing from an empty lot, one of another part, or one that is not accepted', () => {
  const { workshop, replace } = builtUnits(1)
  const before = workshop.lastSeq()
  expect(() => replace('PLV-0001', 'C9', 'SPARE')).toThrow(
    code('lot-not-usable', /SPARE holds FB100-33N, but C9 takes FB63-3N3/),
  )
  workshop.stock.decideLot({ lot: 'SPARE', state: 'held', reason: 'test' })
  expect(() => replace('PLV-0001', 'C7', 'SPARE')).toThrow(code('lot-not-usable', /is held/))
  workshop.stock.decideLot({ lot: 'SPARE', state: 'accepted', reason: 'test' })
  workshop.stock.countLot({ lot: 'SPARE', counted: 0, reason: 'test' })
  expect(() => replace('PLV-0001', 'C7', 'SPARE')).toThrow(code('stock-short', /empty/))
  expect(workshop.unit('PLV-0001')).toMatchObject({ unit: { state: 'untested' }, reworks: [] })
  expect(workshop.lastSeq()).toBe(before + 3)
})

test('a unit that was not built here has no parts that are known', () => {
  const { workshop } = builtUnits(1)
  workshop.registerUnit({ serial: 'PLV-0050' })
  expect(workshop.builds.traceUnit('plv-0050')).toMatchObject({ places: [], replaced: [], buildId: null })
  expect(() => workshop.builds.traceUnit('PLV-0051')).toThrow(code('not-found'))
  expect(() => workshop.stock.traceLot('NONE')).toThrow(code('not-found'))
})
