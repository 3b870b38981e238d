import fc from 'fast-check'
import { expect, test } from 'vitest'
import { demoStockTable } from '../../../src/demo/demo-stock.ts'
import { isBoardwrightError } from '../../../src/model/error.ts'
import { splitRecords } from '../../../src/workshop/table/split-records.ts'
import { newWorkshop } from '../new-workshop.ts'

test('columns in any order, semicolons and decimal commas: parts and lots are taken', () => {
  const { stock } = newWorkshop()
  const csv = [
    '\uFEFFBag;Qty;Value;Kind;MPN;Price;Currency;Tol;Colour',
    'B-1;100;4,7 nF;Capacitor;cap-4n7;0,012;eur;5 %;red',
    '',
    'B-2;1 000;47k;resistor;RES-47K;0,5;EUR;±1 %;"a ""quoted"" word"',
  ].join('\r\n')
  expect(stock.importStock({ csv })).toEqual({
    ...{ taken: 2, refused: [], refusedTable: '', unused: ['Colour'] },
    ...{ partsAdded: 2, partsChanged: 0, lotsReceived: 2, pieces: 1100 },
    columns: {
      ...{ part: 'MPN', kind: 'Kind', value: 'Value', tolerance: 'Tol', price: 'Price', currency: 'Currency' },
      ...{ pieces: 'Qty', lot: 'Bag' },
    },
  })
  expect(stock.part('CAP-4N7').part).toMatchObject({
    ...{ capacitanceF: 4.7e-9, tolerance: 0.05, stock: 100 },
    // Twelve thousandths of a euro: twelve cents for ten.
    price: { amountMinor: 12, currency: 'EUR', perPieces: 10 },
  })
  expect(stock.lot('B-2').lot).toMatchObject({ part: 'RES-47K', stock: 1000 })
})

test('each refused line is named with its number, column and reason; the others are taken', () => {
  const { stock } = newWorkshop()
  const lines = [
    'part,kind,value,pieces,lot,tolerance',
    'R-1,resistor,1k,10,A,1 %',
    ',resistor,1k,10,B,1 %',
    'R-2,resistor,much,10,C,1 %',
    'R-3,resistor,3k,ten,D,1 %',
    'R-4,resistor,4k,10,A,1 %',
    'R-5,lamp,5k,10,E,1 %',
    'R-6,resistor,6k,10,F,0.01',
    'R-7,resistor,"7k,10,G,1 %',
    'R-8,resistor,8k,10,H,1 %',
    'R-9,,9k,10,I,1 %',
    'R-10,resistor,"10',
    'kohm",10,J,1 %',
    'R-1,,,5,K,',
    'R-1,,,,L,',
  ]
  const report = stock.importStock({ csv: lines.join('\n') })
  expect(report.refused.map(({ line, column }) => [line, column])).toEqual([
    [3, 'part'],
    [4, null],
    [5, 'pieces'],
    [6, null],
    [7, 'kind'],
    [8, 'tolerance'],
    [9, null],
    [11, null],
    [15, 'pieces'],
  ])
  expect(report.refused.map(({ reason }) => reason)).toEqual([
    expect.stringMatching(/part number is missing/),
    expect.stringMatching(/"much" is not a resistance/),
    expect.stringMatching(/"ten" is no whole number/),
    expect.stringMatching(/A is in this workshop already/),
    expect.stringMatching(/"lamp" is none of/),
    expect.stringMatching(/"0.01" is no tolerance/),
    expect.stringMatching(/quote is opened/),
    expect.stringMatching(/what kind of part/),
    expect.stringMatching(/no pieces/),
  ])
  expect(report).toMatchObject({ taken: 4, lotsReceived: 4, partsAdded: 3 })
  // What a line did before it was refused is undone: R-4 is no part now.
  expect(stock.parts().map(({ number }) => number)).toEqual(['R-1', 'R-10', 'R-8'])
  expect(stock.lots().map(({ id }) => id)).toEqual(['A', 'H', 'J', 'K'])
  expect(report.refusedTable).toBe(`${[lines[0], ...[2, 3, 4, 5, 6, 7, 8, 10, 14].map((i) => lines[i])].join('\n')}\n`)
  // Mended, the refused lines go in, and nothing goes in twice.
  const mended = 'part,kind,value,pieces,lot,tolerance\nR-2,resistor,2k,10,C,1 %\n'
  expect(stock.importStock({ csv: mended })).toMatchObject({ taken: 1, refused: [] })
  expect(stock.importStock({ csv: mended })).toMatchObject({ taken: 0, refused: [{ line: 2 }] })
})

test('a check stores nothing and says the same', () => {
  const { stock, lastSeq } = newWorkshop()
  const before = lastSeq()
  const checked = stock.importStock({ csv: demoStockTable, check: true })
  expect({ lots: stock.lots(), parts: stock.parts(), seq: lastSeq() }).toEqual({ lots: [], parts: [], seq: before })
  expect(stock.importStock({ csv: demoStockTable })).toEqual(checked)
  expect(checked).toMatchObject({ taken: 25, refused: [], partsAdded: 24, lotsReceived: 25 })
})

test('a column that is not found by itself can be named; else its absence is said with what is there', () => {
  const { stock } = newWorkshop()
  const csv = 'Our name,What it is,Qty\nR-1,resistor,5\n'
  expect(() => stock.importStock({ csv })).toThrow(
    expect.objectContaining({
      code: 'column-missing',
      message: expect.stringMatching(/"Our name", "What it is", "Qty"/),
    }),
  )
  const columns = { part: 'our name', kind: 'What it is', value: 'Qty' }
  expect(stock.importStock({ csv, columns })).toMatchObject({ taken: 1, columns: { part: 'Our name', value: 'Qty' } })
  expect(() => stock.importStock({ csv, columns: { ...columns, colour: 'Qty' } })).toThrow(/Nothing is called "colour"/)
  expect(() => stock.importStock({ csv, columns: { part: 'Nowhere' } })).toThrow(/no column "Nowhere"/)
  expect(() => stock.importStock({ csv: '' })).toThrow(expect.objectContaining({ code: 'bad-argument' }))
})

test('a forgotten quote costs its own line only; a quoted line break is no new line', () => {
  const records = splitRecords('a,b\n1,"x\ny"\n2,"open\n3,2.5" screw\n', ',')
  expect(records).toEqual([
    { line: 1, text: 'a,b', open: false },
    { line: 2, text: '1,"x\ny"', open: false },
    { line: 4, text: '2,"open', open: true },
    { line: 5, text: '3,2.5" screw', open: false },
  ])
})

const cell = fc.oneof(
  fc.string({ maxLength: 12 }),
  fc.constantFrom(
    'R-1',
    'resistor',
    '47k',
    '1 %',
    '"',
    '""',
    '10',
    '-5',
    '1e9',
    'capacitor',
    '4n7',
    '0.5 EUR',
    'yes',
    '',
    ' ',
    '\u0000',
    '"a\nb"',
  ),
)
const anyTable = fc.oneof(
  fc.string({ maxLength: 200 }),
  fc
    .tuple(fc.constantFrom(',', ';', '\t'), fc.array(fc.array(cell, { maxLength: 8 }), { maxLength: 10 }))
    .map(([delimiter, rows]) =>
      [['part', 'kind', 'value', 'pieces', 'lot', 'tolerance', 'price'], ...rows]
        .map((row) => row.join(delimiter))
        .join('\n'),
    ),
)

test('no table crashes the import: each line is taken or refused, and the file stays sound', () => {
  const workshop = newWorkshop()
  fc.assert(
    fc.property(anyTable, (csv) => {
      const before = workshop.stock.lots().length
      try {
        const report = workshop.stock.importStock({ csv })
        expect(workshop.stock.lots().length).toBe(before + report.lotsReceived)
        for (const { line, reason } of report.refused) {
          expect(line).toBeGreaterThan(1)
          expect(reason).not.toBe('')
        }
      } catch (error) {
        // A table without a usable heading is refused as a whole, by an error of the catalogue.
        expect(
          isBoardwrightError(error) && ['bad-argument', 'column-missing'].includes(error.code),
          String(error),
        ).toBe(true)
        expect(workshop.stock.lots().length).toBe(before)
      }
    }),
    { numRuns: 400 },
  )
  expect(workshop.check().ok).toBe(true)
})
