import { describe, expect, it } from 'vitest'
import { makeBrailleCanvas } from '../src/plot/braille-canvas.ts'

const textOf = (runs: { text: string }[]) => runs.map((run) => run.text).join('')

// Names of the characters as in the Unicode code charts, "Braille Patterns" (U+2800 to U+28FF): the digits are the dots,
// 1 2 3 7 down the left, 4 5 6 8 down the right. Dot n is bit n - 1 of the code point.
const dotNumbers = [
  [1, 2, 3, 7],
  [4, 5, 6, 8],
]

describe('braille canvas', () => {
  it.each(dotNumbers.flatMap((column, x) => column.map((dot, y) => ({ x, y, dot }))))(
    'dot $dot stands at column $x, row $y',
    ({ x, y, dot }) => {
      const canvas = makeBrailleCanvas({ columns: 1, rows: 1 })
      canvas.set({ x, y, layer: 'curve' })
      expect(textOf(canvas.rows()[0]).codePointAt(0)).toBe(0x2800 + 2 ** (dot - 1))
    },
  )

  it('leaves a cell without dots blank, and every row as wide as the canvas', () => {
    const canvas = makeBrailleCanvas({ columns: 5, rows: 2 })
    canvas.set({ x: 4, y: 0, layer: 'band' })
    expect(canvas.rows().map(textOf)).toEqual(['  ⠁  ', '     '])
  })

  it('gives a cell to the uppermost of its layers, whatever was drawn first', () => {
    const canvas = makeBrailleCanvas({ columns: 2, rows: 1 })
    canvas.set({ x: 0, y: 0, layer: 'curve' })
    canvas.set({ x: 1, y: 1, layer: 'band' })
    canvas.set({ x: 2, y: 0, layer: 'band' })
    expect(canvas.rows()[0].map((run) => run.layer)).toEqual(['curve', 'band'])
  })

  it('ignores dots outside', () => {
    const canvas = makeBrailleCanvas({ columns: 1, rows: 1 })
    for (const [x, y] of [
      [-1, 0],
      [0, -1],
      [2, 0],
      [0, 4],
    ])
      canvas.set({ x, y, layer: 'curve' })
    expect(textOf(canvas.rows()[0])).toBe(' ')
  })
})
