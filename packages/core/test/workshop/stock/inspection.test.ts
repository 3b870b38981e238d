import { expect, test } from 'vitest'
import { inspectionStatus } from '../../../src/workshop/stock/inspection-status.ts'
import { newWorkshop } from '../new-workshop.ts'
import { record, recordReference, silenced, wrongCapacitor } from '../rig-recordings.ts'

const opAmp = { number: 'AMP', kind: 'op-amp' as const, value: 'dual op-amp' }
const code = (expected: string) => expect.objectContaining({ code: expected })

function workshopWithLot(pieces: number, inspection: Parameters<typeof inspectionStatus>[0]['inspection']) {
  const workshop = newWorkshop()
  workshop.stock.savePart({ ...opAmp, inspection })
  const lot = workshop.stock.receiveLot({ part: 'AMP', pieces, lot: 'A' })
  const tried = (good: boolean) => workshop.stock.inspectPiece({ lot: 'A', good })
  return { workshop, lot, tried, stock: workshop.stock }
}

// Source: MIL-STD-105E tables I and II-A, which ISO 2859-1 carries on: lot of 100, level II, letter F, 20 pieces; at AQL 4 %
// accept with 2 bad, not with 3; at AQL 0.65 % accept with 0 (sample of 20).
test.each([
  [100, 'II', 4, 20, 2],
  [100, 'II', 0.65, 20, 0],
  [1000, 'II', 1, 80, 2],
] as const)(
  'a lot of %d at level %s and %d %%: %d tried, %d may be bad',
  (lotSize, level, limit, sampleSize, acceptanceNumber) => {
    const inspection = { kind: 'sample' as const, level, acceptanceQualityLimitPercent: limit }
    expect(inspectionStatus({ inspection, lotSize, readings: [] })).toMatchObject({
      sampleSize,
      acceptanceNumber,
      outcome: 'more',
    })
  },
)

test('a sample without too many bad ones accepts the lot', () => {
  const { lot, tried, stock } = workshopWithLot(100, { kind: 'sample', level: 'II', acceptanceQualityLimitPercent: 4 })
  expect(lot.state).toBe('awaiting-inspection')
  tried(false)
  for (let piece = 2; piece < 20; piece++) expect(tried(piece !== 7).lot.state).toBe('awaiting-inspection')
  expect(tried(true)).toMatchObject({
    lot: { state: 'accepted' },
    inspection: { tried: 20, bad: 2, outcome: 'accept' },
  })
  expect(
    stock
      .lot('A')
      .readings.filter(({ good }) => !good)
      .map(({ piece }) => piece),
  ).toEqual([1, 7])
  expect(stock.lot('A').history[0]).toMatchObject({
    verb: 'decide-lot',
    detail: { reason: '2 bad of 20 tried, 2 allowed' },
  })
})

test('one bad too many holds the lot at once; then the maker decides', () => {
  const { tried, stock } = workshopWithLot(100, { kind: 'sample', level: 'II', acceptanceQualityLimitPercent: 4 })
  for (let piece = 1; piece <= 2; piece++) tried(false)
  expect(tried(false)).toMatchObject({ lot: { state: 'held' }, inspection: { tried: 3, outcome: 'not-accept' } })
  expect(stock.decideLot({ lot: 'A', state: 'refused', reason: 'not what was ordered' }).state).toBe('refused')
})

test('every piece of a full inspection is tried', () => {
  const { tried } = workshopWithLot(3, { kind: 'all' })
  tried(true)
  tried(true)
  expect(tried(true)).toMatchObject({ lot: { state: 'accepted' }, inspection: { inspectAll: true, sampleSize: 3 } })
  expect(() => tried(true)).toThrow(code('bad-argument'))
  // One piece is not enough for a plan.
  expect(
    workshopWithLot(1, { kind: 'sample', level: 'II', acceptanceQualityLimitPercent: 1 }).tried(true).lot.state,
  ).toBe('accepted')
})

test('a part that is not inspected takes no readings', () => {
  const { lot, tried } = workshopWithLot(3, { kind: 'none' })
  expect(lot.state).toBe('accepted')
  expect(() => tried(true)).toThrow(code('bad-argument'))
})

test('on the rig the verdict of the socketed board decides, and the run is kept with the reading', async () => {
  const { workshop, stock } = workshopWithLot(3, { kind: 'all' })
  workshop.addReference({ recordings: await recordReference(1) })
  const good = await record({ serial: 'SOCKET-1' })
  const bad = await record({ serial: 'SOCKET-1', faults: wrongCapacitor })
  const visit = (recordings: typeof good) =>
    workshop.recordTestRun({ serial: 'SOCKET-1', rig: 'simulated', recordings }).run
  const run = visit(good)
  expect(stock.inspectPiece({ lot: 'A', runId: run.id }).inspection).toMatchObject({ tried: 1, bad: 0 })
  expect(stock.inspectPiece({ lot: 'A', runId: visit(bad).id })).toMatchObject({
    ...{ inspection: { tried: 2, bad: 1, outcome: 'not-accept' }, lot: { state: 'held' } },
  })
  expect(stock.lot('A').readings[0]).toMatchObject({ good: true, runId: run.id })
  expect(() => stock.inspectPiece({ lot: 'A', runId: visit(silenced(good)).id })).toThrow(code('bad-argument'))
  expect(() => stock.inspectPiece({ lot: 'A', runId: 'R-0' })).toThrow(code('not-found'))
  expect(() => stock.inspectPiece({ lot: 'A' })).toThrow(code('bad-argument'))
  expect(workshop.check()).toMatchObject({ ok: true })
})
