import fc from 'fast-check'
import { expect, test } from 'vitest'
import { isBoardwrightError } from '../../../src/model/error.ts'
import { newWorkshop } from '../new-workshop.ts'
import { product } from '../rig-recordings.ts'

const partsTable = (entries = product.partsList!) =>
  [
    'Notes,MPN,Ref,Extra,Pieces,Alternatives',
    ...entries.map(
      ({ designator, part, extra, pieces, alternatives }) =>
        `,${part},${designator},${extra ? 'yes' : ''},${pieces},${alternatives.join('|')}`,
    ),
  ].join('\n')

test('a parts list with columns in another order becomes the same parts list, as a new revision', () => {
  const workshop = newWorkshop()
  const report = workshop.builds.importPartsList({ csv: partsTable(), saveAs: 'B' })
  expect(report).toMatchObject({ taken: product.partsList!.length, refused: [], missing: [], unused: ['Notes'] })
  expect(report.product?.partsList).toEqual(product.partsList)
  expect(workshop.product('plover')).toEqual({ ...product, revision: 'B', revisionDate: '2026-03-04' })
  expect(workshop.product('plover', 'A')).toEqual(product)
  expect(() => workshop.builds.importPartsList({ csv: 'ref,mpn\nR1,OTHER', saveAs: 'B' })).toThrow(
    expect.objectContaining({ code: 'revision-frozen' }),
  )
})

test('several places on a line; refused lines keep the revision from being made, unless that is wanted', () => {
  const { builds, products } = newWorkshop()
  const csv = 'Designators;Part\n"R1, R2";MF25-47K\nR3-R5;MF25-1M0\nR99;X\nR2;X\nR4-R1;X\nQ1;\nU1A;DA\n'
  const report = builds.importPartsList({ csv, saveAs: 'B' })
  expect(report).toMatchObject({ taken: 2, product: null })
  expect(report.refused.map(({ line, column, reason }) => [line, column, reason])).toEqual([
    [4, 'Designators', expect.stringMatching(/no place "R99"/)],
    [5, 'Designators', 'R2 is on line 2 already.'],
    [6, 'Designators', expect.stringMatching(/no row/)],
    [7, 'Part', expect.stringMatching(/missing/)],
    [8, 'Designators', expect.stringMatching(/no place "U1A"/)],
  ])
  expect(report.missing).toContain('R6')
  expect(report.missing).not.toContain('R4')
  expect(products()[0]?.revision).toBe('A')
  expect(
    builds
      .importPartsList({ csv, saveAs: 'B', skipRefused: true })
      .product?.partsList?.map(({ designator }) => designator),
  ).toEqual([...['R1', 'R2', 'R3', 'R4', 'R5']])
})

const placementsTable = product
  .board!.placements.map(
    ({ designator, xMm, yMm, rotationDeg, side }) => `${side},${rotationDeg},${yMm}mm,${xMm},${designator}`,
  )
  .join('\n')

test('the same placements in other columns change nothing but the revision', () => {
  const { builds } = newWorkshop()
  const {
    product: made,
    refused,
    missing,
  } = builds.importPlacements({
    csv: `Layer,Rot,PosY,Pos X,Ref\n${placementsTable}`,
    columns: { y: 'PosY' },
    saveAs: 'B',
  })
  expect({ refused, missing }).toEqual({ refused: [], missing: [] })
  expect(made?.board).toEqual(product.board)
})

test('a part that is moved takes its pads along; what cannot be placed is refused with its line', () => {
  const { builds } = newWorkshop()
  const csv = 'ref,x,y,body\nR1,31.5,1.3in,\nR99,1,1,axial\nR2,99,1,\nR3,wide,1,\nR4,1,1,\nC7,16.5,16,lamp\nR1,30,30,\n'
  const report = builds.importPlacements({ csv, saveAs: 'B', skipRefused: true })
  expect(report.refused.map(({ line, column }) => [line, column])).toEqual([
    [3, 'ref'],
    [4, 'x'],
    [5, 'x'],
    // R4's pads would hang over the edge.
    [6, 'x'],
    [7, 'body'],
    [8, 'ref'],
  ])
  const before = product.board!.placements.find(({ designator }) => designator === 'R1')!
  const moved = report.product!.board!.placements.find(({ designator }) => designator === 'R1')!
  expect(moved).toMatchObject({ xMm: 31.5, yMm: 33.02 })
  expect(moved.pads[0]!.xMm - before.pads[0]!.xMm).toBeCloseTo(1, 9)
  expect(moved.pads[1]!.yMm - before.pads[1]!.yMm).toBeCloseTo(33.02 - 35, 9)
})

test('of a board that is not described its size must be said', () => {
  const workshop = newWorkshop({ withProduct: false })
  const { board: _, ...bare } = product
  workshop.addProduct(bare)
  const csv = 'ref,x,y,body\nR1,5,5,axial\n'
  expect(() => workshop.builds.importPlacements({ csv })).toThrow(expect.objectContaining({ code: 'bad-argument' }))
  const { product: made, missing } = workshop.builds.importPlacements({
    csv,
    boardWidthMm: 60,
    boardHeightMm: 40,
    saveAs: 'B',
  })
  expect(made?.board).toMatchObject({ widthMm: 60, heightMm: 40, placements: [{ designator: 'R1', pads: [] }] })
  expect(missing).toContain('R2')
})

const cell = fc.oneof(
  fc.string({ maxLength: 10 }),
  fc.constantFrom('R1', 'R1-R9', 'C7', 'U1', '5', '-3', '1e3', 'axial', '"', 'yes', '90'),
)
test('no table crashes either import', () => {
  const { builds, products } = newWorkshop()
  fc.assert(
    fc.property(fc.array(fc.array(cell, { maxLength: 6 }), { maxLength: 8 }), fc.boolean(), (rows, isParts) => {
      const csv = [
        isParts ? 'ref,part,extra,pieces,alternatives' : 'ref,x,y,rot,side,body',
        ...rows.map((row) => row.join(',')),
      ].join('\n')
      try {
        const report = isParts ? builds.importPartsList({ csv }) : builds.importPlacements({ csv })
        expect(report.product).toBeNull()
        expect(report.refused.every(({ line, reason }) => line > 1 && reason !== '')).toBe(true)
      } catch (error) {
        expect(isBoardwrightError(error), String(error)).toBe(true)
      }
    }),
    { numRuns: 400 },
  )
  expect(products()[0]?.revision).toBe('A')
})
