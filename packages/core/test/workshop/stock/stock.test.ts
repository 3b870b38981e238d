import Database from 'better-sqlite3'
import fc from 'fast-check'
import { expect, test } from 'vitest'
import { newWorkshop } from '../new-workshop.ts'

const code = (expected: string) => expect.objectContaining({ code: expected })
const resistor = { number: 'r-1k', kind: 'resistor' as const, value: '1k', tolerance: 0.01 }

test('a part has versions; the same again is no new one', () => {
  const { stock, lastSeq } = newWorkshop()
  const { part, changed } = stock.savePart(resistor)
  expect({ part, changed }).toMatchObject({ part: { number: 'R-1K', version: 1, resistanceOhm: 1000 }, changed: true })
  const before = lastSeq()
  expect(stock.savePart({ number: 'R-1K', value: '1k' })).toMatchObject({ changed: false, part: { version: 1 } })
  expect(lastSeq()).toBe(before)
  expect(stock.savePart({ number: 'R-1K', leadTimeDays: 9 })).toMatchObject({
    changed: true,
    part: { version: 2, tolerance: 0.01, leadTimeDays: 9, resistanceOhm: 1000 },
  })
  expect(stock.part('r-1k')).toMatchObject({
    part: { version: 2, stock: 0 },
    versions: [{ version: 2 }, { version: 1 }],
  })
})

test.each([
  [{ number: 'X' }, 'bad-argument', /kind of part/],
  [{ number: 'X', kind: 'resistor' as const }, 'bad-argument', /needs its value/],
  [{ number: 'X', kind: 'resistor' as const, value: '47 nF' }, 'bad-quantity', /47 nF/],
  [{ number: 'X', kind: 'nonsense' as never }, 'bad-argument', /kind/],
  [{ number: ' ', kind: 'other' as const }, 'bad-argument', /part number/],
  [{ number: 'X', kind: 'other' as const, leadTimeDays: -1 }, 'bad-argument', /leadTimeDays/],
])('part %j is refused', (part, expected, sentence) => {
  const { stock } = newWorkshop()
  expect(() => stock.savePart(part)).toThrow(
    expect.objectContaining({ code: expected, message: expect.stringMatching(sentence) }),
  )
  expect(stock.parts()).toEqual([])
})

test('lots come, are counted and corrected, each with its movement and journal entry', () => {
  const { stock, journalSince, check } = newWorkshop()
  stock.savePart({ ...resistor, supplier: 'Marsh Lane' })
  const lot = stock.receiveLot({
    ...{ part: 'R-1K', pieces: 100, dateCode: '2546', certificatePath: 'papers/r1k.pdf', photoPath: 'bag.jpg' },
    price: { amountMinor: 22, currency: 'EUR', perPieces: 10 },
    measurements: [{ piece: 1, name: 'resistance', value: '1.003 kohm' }],
  })
  expect(lot).toMatchObject({ id: 'L-0001', stock: 100, received: 100, state: 'accepted', supplier: 'Marsh Lane' })
  expect(stock.countLot({ lot: 'l-0001', counted: 97, reason: 'three bent' })).toMatchObject({
    stock: 97,
    received: 100,
  })
  stock.countLot({ lot: 'L-0001', counted: 97, reason: 'counted again' })
  const detail = stock.lot('L-0001')
  expect(detail.movements.map(({ kind, pieces, reason }) => [kind, pieces, reason])).toEqual([
    ['received', 100, ''],
    ['corrected', -3, 'three bent'],
  ])
  expect(detail.history.map(({ verb }) => verb)).toEqual(['count-lot', 'count-lot', 'receive-lot'])
  expect(detail.lot.measurements).toEqual([{ piece: 1, name: 'resistance', value: '1.003 kohm' }])
  expect(journalSince(0).at(-1)).toMatchObject({ verb: 'count-lot', detail: { counted: 97, before: 97 } })
  expect(() => stock.receiveLot({ part: 'R-1K', pieces: 1, lot: 'L-0001' })).toThrow(code('lot-exists'))
  expect(() => stock.receiveLot({ part: 'NONE', pieces: 1 })).toThrow(code('not-found'))
  expect(() => stock.receiveLot({ part: 'R-1K', pieces: 0 })).toThrow(code('bad-argument'))
  expect(() => stock.receiveLot({ part: 'R-1K', pieces: 1.5 })).toThrow(code('bad-argument'))
  expect(() => stock.countLot({ lot: 'L-0001', counted: 5, reason: ' ' })).toThrow(code('bad-argument'))
  expect(() => stock.countLot({ lot: 'L-0001', counted: -1, reason: 'x' })).toThrow(code('bad-argument'))
  expect(() => stock.lot('L-0099')).toThrow(code('not-found'))
  // A lot named by hand as the next number would be is passed over.
  stock.receiveLot({ part: 'R-1K', pieces: 1, lot: 'L-0003' })
  expect(stock.receiveLot({ part: 'R-1K', pieces: 1 }).id).toBe('L-0004')
  expect(check()).toMatchObject({ ok: true, findings: [] })
})

test('a held lot counts as waiting; a decision needs its reason', () => {
  const { stock } = newWorkshop()
  stock.savePart(resistor)
  stock.receiveLot({ part: 'R-1K', pieces: 10, lot: 'A' })
  stock.receiveLot({ part: 'R-1K', pieces: 5, lot: 'B' })
  stock.decideLot({ lot: 'B', state: 'held', reason: 'wrong date code' })
  expect(stock.parts()).toMatchObject([{ number: 'R-1K', stock: 10, waiting: 5, lots: 2 }])
  stock.decideLot({ lot: 'B', state: 'refused', reason: 'sent back' })
  expect(stock.parts()).toMatchObject([{ stock: 10, waiting: 0 }])
  expect(stock.lots({ state: 'refused' }).map(({ id }) => id)).toEqual(['B'])
  expect(() => stock.decideLot({ lot: 'B', state: 'held', reason: '' })).toThrow(code('bad-argument'))
  expect(() => stock.decideLot({ lot: 'B', state: 'awaiting-inspection' as never, reason: 'x' })).toThrow(
    code('bad-argument'),
  )
})

test('the file itself refuses what the verbs would not do', () => {
  const workshop = newWorkshop()
  workshop.stock.savePart(resistor)
  workshop.stock.receiveLot({ part: 'R-1K', pieces: 10, lot: 'A' })
  const other = new Database(workshop.file)
  const move = (kind: string, pieces: number, reason = '') =>
    other
      .prepare("INSERT INTO stock_movement (lot_id, at, station, kind, pieces, reason) VALUES ('A', '', '', ?, ?, ?)")
      .run(kind, pieces, reason)
  expect(() => move('corrected', -11, 'x')).toThrow(/no fewer pieces than none/)
  expect(() => move('corrected', -1)).toThrow(/CHECK/)
  expect(() => move('issued', -1)).toThrow(/CHECK/)
  expect(() => move('received', -1)).toThrow(/CHECK/)
  for (const sql of [
    'UPDATE stock_movement SET pieces = 50',
    'DELETE FROM stock_movement',
    'INSERT OR REPLACE INTO stock_movement SELECT seq, lot_id, at, station, kind, 50, build_id, rework_id, reason FROM stock_movement',
    "UPDATE part SET content = '{}'",
    "UPDATE part_lot SET part = 'OTHER'",
    'DELETE FROM part_lot',
  ])
    expect(() => other.exec(sql), sql).toThrow(/never|frozen|only the state/)
  other.close()
  expect(workshop.stock.lot('A').lot.stock).toBe(10)
})

type Operation =
  | { verb: 'receive'; lot: number; pieces: number }
  | { verb: 'count'; lot: number; pieces: number }
  | { verb: 'decide'; lot: number; state: 'held' | 'accepted' }
const operation: fc.Arbitrary<Operation> = fc.oneof(
  fc.record({
    verb: fc.constantFrom('receive' as const, 'count' as const),
    lot: fc.nat(3),
    pieces: fc.integer({ min: -2, max: 30 }),
  }),
  fc.record({
    verb: fc.constant('decide' as const),
    lot: fc.nat(3),
    state: fc.constantFrom('held' as const, 'accepted' as const),
  }),
)

test('whatever is received, counted and decided: stock is the sum of movements, never below none, as in a list in memory', () => {
  fc.assert(
    fc.property(fc.array(operation, { maxLength: 25 }), (operations) => {
      const { stock, check, close } = newWorkshop({ withProduct: false })
      stock.savePart(resistor)
      const model = new Map<string, { stock: number; state: string }>()
      for (const op of operations) {
        const id = `LOT-${op.lot}`
        const known = model.get(id)
        if (op.verb === 'receive') {
          const receive = () => stock.receiveLot({ part: 'R-1K', pieces: op.pieces, lot: id })
          if (known || op.pieces < 1) expect(receive).toThrow()
          else model.set(receive().id, { stock: op.pieces, state: 'accepted' })
        } else if (op.verb === 'count') {
          const count = () => stock.countLot({ lot: id, counted: op.pieces, reason: 'count' })
          if (!known || op.pieces < 0) expect(count).toThrow()
          else known.stock = count().stock
          if (known && op.pieces >= 0) expect(known.stock).toBe(op.pieces)
        } else {
          const decide = () => stock.decideLot({ lot: id, state: op.state, reason: 'so' })
          if (known) known.state = decide().state
          else expect(decide).toThrow()
        }
      }
      for (const { id, stock: left, state } of stock.lots()) {
        expect({ stock: left, state }).toEqual(model.get(id))
        expect(stock.lot(id).movements.reduce((sum, { pieces }) => sum + pieces, 0)).toBe(left)
        expect(left).toBeGreaterThanOrEqual(0)
      }
      expect(stock.lots().length).toBe(model.size)
      expect(check().ok).toBe(true)
      close()
    }),
    { numRuns: 25 },
  )
})
