import fc from 'fast-check'
import { expect, test } from 'vitest'
import { fitParts } from '../../src/build/fit-parts.ts'
import { kitList } from '../../src/build/kit-list.ts'
import type { LotState } from '../../src/model/part-lot.ts'
import { PartsListEntry } from '../../src/model/parts-list.ts'

const lot = (id: string, part: string, stock: number, day: number, state: LotState = 'accepted') => ({
  ...{ id, part, stock, state },
  receivedAt: `2026-03-${String(day).padStart(2, '0')}T09:00:00.000Z`,
})
const entry = (designator: string, part: string, more: Partial<PartsListEntry> = {}) =>
  PartsListEntry.parse({ designator, part, ...more })
const takesOf = (list: ReturnType<typeof kitList>) =>
  list.lines.map(({ part, takes, short }) => [
    part,
    takes.map(({ lotId, pieces }) => `${lotId}:${pieces}`).join(' '),
    short,
  ])

test('the oldest lot that has enough for the whole build; else the oldest ones in turn', () => {
  const partsList = [entry('R1', 'A'), entry('R2', 'A'), entry('C1', 'B'), entry('U1', 'C')]
  const lots = [
    lot('A-OLD', 'A', 5, 1),
    lot('A-NEW', 'A', 50, 9),
    lot('A-MID', 'A', 12, 5),
    lot('B-1', 'B', 4, 1),
    lot('B-2', 'B', 5, 2),
    lot('C-HELD', 'C', 100, 1, 'held'),
    lot('C-WAIT', 'C', 100, 2, 'awaiting-inspection'),
    lot('C-BAD', 'C', 100, 3, 'refused'),
    lot('C-OK', 'C', 4, 9),
  ]
  expect(takesOf(kitList({ partsList, units: 6, lots }))).toEqual([
    ['A', 'A-MID:12', 0],
    ['B', 'B-1:4 B-2:2', 0],
    ['C', 'C-OK:4', 2],
  ])
})

test('an alternative stands in when the first choice does not do, but takes nobody else the first choice away', () => {
  const partsList = [entry('C1', 'B', { alternatives: ['C', 'D'] }), entry('C2', 'C')]
  const lots = [lot('B-1', 'B', 3, 1), lot('C-1', 'C', 10, 1), lot('D-1', 'D', 10, 1)]
  expect(takesOf(kitList({ partsList, units: 6, lots }))).toEqual([
    ['B', 'D-1:6', 0],
    ['C', 'C-1:6', 0],
  ])
  expect(takesOf(kitList({ partsList, units: 3, lots })).at(0)).toEqual(['B', 'B-1:3', 0])
  // No candidate does alone: first choice first, then the others.
  expect(takesOf(kitList({ partsList, units: 9, lots }))).toEqual([
    ['B', 'D-1:9', 0],
    ['C', 'C-1:9', 0],
  ])
  const little = [lot('B-1', 'B', 3, 1), lot('D-1', 'D', 4, 1)]
  expect(takesOf(kitList({ partsList: partsList.slice(0, 1), units: 9, lots: little }))).toEqual([
    ['B', 'B-1:3 D-1:4', 2],
  ])
})

test('a unit has one lot of a part when one has enough for it', () => {
  const partsList = [entry('R1', 'A'), entry('R2', 'A')]
  const lots = [lot('A-1', 'A', 5, 1), lot('A-2', 'A', 7, 2)]
  const { lines } = kitList({ partsList, units: 6, lots })
  const fitted = fitParts({ lines, partsList, serials: ['S1', 'S2', 'S3', 'S4', 'S5', 'S6'] })
  const lotsOf = (serial: string) =>
    fitted
      .filter((one) => one.serial === serial)
      .map(({ lotId }) => lotId)
      .join(' ')
  expect(['S1', 'S2', 'S3', 'S4', 'S5', 'S6'].map(lotsOf)).toEqual([
    'A-1 A-1',
    'A-1 A-1',
    'A-2 A-2',
    'A-2 A-2',
    'A-2 A-2',
    // What is left over in both.
    'A-1 A-2',
  ])
})

const part = fc.constantFrom('A', 'B', 'C', 'D')
const state = fc.constantFrom<LotState>('accepted', 'accepted', 'accepted', 'held', 'refused')
const someLots = fc
  .array(fc.tuple(part, fc.nat(30), fc.integer({ min: 1, max: 28 }), state), { maxLength: 12 })
  .map((all) => all.map(([of, stock, day, how], i) => lot(`L-${i}`, of, stock, day, how)))
const somePartsList = fc
  .array(fc.tuple(part, fc.uniqueArray(part, { maxLength: 2 }), fc.integer({ min: 1, max: 3 })), {
    minLength: 1,
    maxLength: 8,
  })
  .map((all) =>
    all.map(([of, others, pieces], i) =>
      entry(`R${i + 1}`, of, { alternatives: others.filter((other) => other !== of), pieces }),
    ),
  )

test('whatever is in the drawers: nothing is taken twice, nothing not accepted, and what is fitted is what is taken', () => {
  fc.assert(
    fc.property(somePartsList, fc.integer({ min: 1, max: 8 }), someLots, (partsList, units, lots) => {
      const { lines, complete } = kitList({ partsList, units, lots })
      const taken = new Map<string, number>()
      for (const { part: wanted, alternatives, takes, needed, short } of lines) {
        expect(takes.reduce((sum, { pieces }) => sum + pieces, 0) + short).toBe(needed)
        for (const { lotId, part: of, pieces } of takes) {
          expect([wanted, ...alternatives]).toContain(of)
          expect(pieces).toBeGreaterThan(0)
          taken.set(lotId, (taken.get(lotId) ?? 0) + pieces)
        }
      }
      for (const [id, pieces] of taken) {
        const from = lots.find((one) => one.id === id)!
        expect(from.state).toBe('accepted')
        expect(pieces).toBeLessThanOrEqual(from.stock)
      }
      expect(complete).toBe(lines.every(({ short }) => short === 0))
      // Short only when every lot that could serve the line is used up.
      for (const { part: wanted, alternatives, short } of lines)
        if (short > 0)
          for (const { id, part: of, stock, state: how } of lots)
            if (how === 'accepted' && [wanted, ...alternatives].includes(of)) expect(taken.get(id) ?? 0).toBe(stock)
      if (!complete) return
      const serials = Array.from({ length: units }, (_, i) => `S${i}`)
      const fitted = fitParts({ lines, partsList, serials })
      for (const serial of serials)
        for (const { designator, pieces } of partsList) {
          const here = fitted.filter((one) => one.serial === serial && one.designator === designator)
          expect(here.reduce((sum, one) => sum + one.pieces, 0)).toBe(pieces)
          expect(new Set(here.map(({ lotId }) => lotId)).size).toBe(here.length)
        }
      for (const [id, pieces] of taken)
        expect(fitted.filter(({ lotId }) => lotId === id).reduce((sum, one) => sum + one.pieces, 0)).toBe(pieces)
    }),
    { numRuns: 500 },
  )
})
