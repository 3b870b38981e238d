import { expect, test } from 'vitest'
import { boardSteps } from '../../../src/model/build.ts'
import { record, recordReference } from '../rig-recordings.ts'
import { stockedWorkshop } from './stocked-workshop.ts'

const code = (expected: string, message = /./) =>
  expect.objectContaining({ code: expected, message: expect.stringMatching(message) })

function startedBuild(units = 2) {
  const workshop = stockedWorkshop()
  const { build } = workshop.builds.start({ units })
  const board = boardSteps(build.steps).map(({ key }) => key)
  const states = () => workshop.builds.show(1).units.map(({ state }) => state)
  const work = (step: string, more: Partial<Parameters<typeof workshop.builds.recordWork>[0]> = {}) =>
    workshop.builds.recordWork({ buildId: 1, step, ...more })
  return { workshop, build, board, states, work }
}

test('unit by unit: a unit goes to the rig when its last board step is done', () => {
  const { workshop, board, states, work } = startedBuild()
  for (const step of board.slice(0, -1)) work(step, { serials: ['plv-0001'], workedS: 60 })
  expect(states()).toEqual(['building', 'building'])
  expect(workshop.builds.show(1).units).toMatchObject([
    { serial: 'PLV-0001', next: 'look-over', workedS: 60 * (board.length - 1) },
    { serial: 'PLV-0002', next: board[0], workedS: 0, done: [] },
  ])
  const { units, state } = work('look-over', { serials: ['PLV-0001'] })
  expect(units).toMatchObject([{ state: 'untested', next: 'rig' }, { state: 'building' }])
  expect(state).toBe('working')
  expect(workshop.nextToTest()?.serial).toBe('PLV-0001')
  expect(workshop.unit('PLV-0001').history.slice(0, 2)).toMatchObject([
    { verb: 'finish-board', detail: { from: 'building', to: 'untested' } },
    { verb: 'record-work', detail: { step: 'look-over', mark: 'done' } },
  ])
  expect(workshop.check()).toMatchObject({ ok: true })
})

test('step by step: one record of the whole batch, its time shared', () => {
  const { workshop, board, states, work } = startedBuild(3)
  const { work: rows } = work(board[0]!, { workedS: 90 })
  expect(rows.map(({ serial, workedS }) => [serial, workedS])).toEqual([
    ['PLV-0001', 30],
    ['PLV-0002', 30],
    ['PLV-0003', 30],
  ])
  // Units that have it behind them take no second row, and no share of the time.
  work(board[1]!, { serials: ['PLV-0002'], workedS: 10 })
  expect(
    work(board[1]!, { workedS: 50 })
      .work.slice(3)
      .map(({ serial, workedS }) => [serial, workedS]),
  ).toEqual([
    ['PLV-0002', 10],
    ['PLV-0001', 25],
    ['PLV-0003', 25],
  ])
  for (const step of board.slice(2)) work(step)
  expect(states()).toEqual(['untested', 'untested', 'untested'])
  expect(workshop.builds.list()).toMatchObject([{ state: 'done' }])
  expect(workshop.builds.show(1).pace).toEqual([
    { step: board[0], medianS: 30, times: 3 },
    { step: board[1], medianS: 25, times: 3 },
  ])
})

test('a step can be taken back while the board is built, and something wrong is noted with its photo', () => {
  const { workshop, board, work } = startedBuild(1)
  work('trim')
  work('trim', { mark: 'undone', serials: ['PLV-0001'], note: 'one lead left' })
  expect(workshop.builds.show(1).units[0]?.done).toEqual([])
  work('trim')
  work('place-r2', { mark: 'wrong', serials: ['PLV-0001'], note: 'pad of R1 lifted', photoPath: 'photos/1.jpg' })
  const { work: rows, units } = workshop.builds.show(1)
  expect(rows.map(({ mark }) => mark)).toEqual(['done', 'undone', 'done', 'wrong'])
  expect(rows.at(-1)).toMatchObject({ note: 'pad of R1 lifted', photoPath: 'photos/1.jpg' })
  expect(units[0]?.done).toEqual(['trim'])
  for (const step of board) work(step)
  expect(() => work('trim', { mark: 'undone', serials: ['PLV-0001'] })).toThrow(
    code('step-not-possible', /record a rework/),
  )
})

test('after the rig the unit is listened to and labelled; the rig records itself', async () => {
  const { workshop, board, work } = startedBuild(1)
  expect(() => work('label', { serials: ['PLV-0001'] })).toThrow(code('step-not-possible', /still being built/))
  expect(work('label').work).toEqual([])
  for (const step of board) work(step)
  workshop.addReference({ recordings: await recordReference(1) })
  const recordings = await record({ serial: 'PLV-0001' })
  expect(workshop.recordTestRun({ serial: 'PLV-0001', rig: 'simulated', recordings }).newUnit).toBe(false)
  expect(workshop.builds.show(1).units[0]).toMatchObject({ state: 'ready', next: 'listen' })
  work('listen')
  expect(work('label').units[0]).toMatchObject({ state: 'ready', next: null })
  expect(() => work('rig')).toThrow(code('step-not-possible', /records itself/))
})

test.each([
  [{ step: 'sing' }, 'bad-argument'],
  [{ step: 'trim', serials: ['PLV-0009'] }, 'not-found'],
  [{ step: 'trim', serials: ['a b'] }, 'bad-serial'],
  [{ step: 'trim', mark: 'wrong' as const, serials: ['PLV-0001'] }, 'bad-argument'],
  [{ step: 'trim', mark: 'undone' as const }, 'bad-argument'],
  [{ step: 'trim', mark: 'half' as never }, 'bad-argument'],
  [{ step: 'trim', workedS: -1 }, 'bad-argument'],
  [{ step: 'trim', workedS: Number.NaN }, 'bad-argument'],
  [{ step: 'trim', buildId: 9 }, 'not-found'],
])('%j is refused', ({ step, ...more }, expected) => {
  const { workshop, work } = startedBuild()
  const before = workshop.lastSeq()
  expect(() => work(step, more)).toThrow(code(expected))
  expect(workshop.lastSeq()).toBe(before)
})

test('a board that is given up keeps its number; what was not fitted goes back into its lots', () => {
  const { workshop, board, work } = startedBuild(2)
  const lotOf = (designator: string) =>
    workshop.builds.traceUnit('PLV-0001').places.find((place) => place.designator === designator)!.lotId!
  const before = { c7: workshop.stock.lot(lotOf('C7')).lot.stock, u1: workshop.stock.lot(lotOf('U1')).lot.stock }
  const scrap = (putBack?: 'all' | string[], reason = 'trace torn') =>
    workshop.builds.scrapUnit({ serial: 'plv-0001', reason, putBack })
  expect(() => scrap(['C99'])).toThrow(code('part-unknown'))
  expect(() => scrap([], ' ')).toThrow(code('bad-argument'))
  expect(scrap(['c7', 'C8']).state).toBe('scrapped')
  expect(workshop.stock.lot(lotOf('C7')).lot.stock).toBe(before.c7 + 2)
  expect(workshop.stock.lot(lotOf('C7')).movements.at(-1)).toMatchObject({ kind: 'returned', pieces: 2, buildId: 1 })
  expect(workshop.stock.lot(lotOf('U1')).lot.stock).toBe(before.u1)
  expect(() => scrap('all')).toThrow(code('step-not-possible', /scrapped/))
  for (const step of board) work(step)
  work('label')
  // Nobody works on it any more, and the build is done without it.
  expect(workshop.builds.show(1)).toMatchObject({
    state: 'done',
    units: [{ state: 'scrapped', done: [] }, { state: 'untested' }],
  })
  expect(workshop.builds.start({ units: 1 }).build.serials).toEqual(['PLV-0003'])
  expect(() => workshop.builds.scrapUnit({ serial: 'PLV-0002', reason: 'x' })).toThrow(code('step-not-possible'))
  expect(() => workshop.builds.scrapUnit({ serial: 'PLV-0009', reason: 'x' })).toThrow(code('not-found'))
  workshop.builds.scrapUnit({ serial: 'PLV-0003', reason: 'only a try', putBack: 'all' })
  expect(workshop.builds.show(2).movements.reduce((sum, { pieces }) => sum + pieces, 0)).toBe(0)
  expect(workshop.check()).toMatchObject({ ok: true })
})
