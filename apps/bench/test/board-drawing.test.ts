import { describe, expect, it } from 'vitest'
import { type BoardDrawing, drawBoard } from '../src/plot/board-drawing.ts'
import { loadPlover } from '../src/plover.ts'

const board = loadPlover().board!
const plainText = (drawing: Partial<BoardDrawing> = {}): string[] =>
  drawBoard({ board, view: 'above', columns: 46, rows: 16, lit: [], also: [], nodes: [], ...drawing }).map((runs) =>
    runs.map(({ text }) => text).join(''),
  )

describe('the board in characters', () => {
  it.each([
    [46, 16],
    [74, 25],
    [120, 40],
    [30, 60],
  ])('fits in %i x %i, every row of one length', (columns, rows) => {
    const lines = plainText({ columns, rows })
    expect(lines.length).toBeLessThanOrEqual(rows)
    const lengths = new Set(lines.map((line) => [...line].length))
    expect(lengths.size).toBe(1)
    expect([...lengths][0]).toBeLessThanOrEqual(columns)
    // A cell is about twice as high as wide; the board is 64 mm by 38 mm.
    const proportion = ([...lengths][0] - 2) / (2 * (lines.length - 2))
    expect(proportion).toBeGreaterThan(64 / 38 / 1.15)
    expect(proportion).toBeLessThan((64 / 38) * 1.15)
  })

  it('names every part where there is room', () => {
    const text = plainText({ columns: 120, rows: 40 }).join('\n')
    // The two chips sit on the solder side.
    for (const { designator, side } of board.placements)
      if (side === 'top') expect(text, designator).toMatch(new RegExp(`\\b${designator}\\b`))
    expect(text).not.toMatch(/C10\b/)
  })

  it('fills the suspect, and arrow heads on the edge lead to it', () => {
    const lines = plainText({ lit: ['C7'], columns: 74, rows: 25 })
    const row = lines.findIndex((line) => line.startsWith('▶'))
    const column = lines[0].indexOf('▼')
    // C7 lies at 16.5 mm of 64, and at 16 mm of 38 from below: in cells of 72 by 21 behind an edge of one.
    const [columns, rows] = [lines[0].length - 2, lines.length - 2]
    expect(column).toBe(1 + Math.floor((16.5 / 64) * columns))
    expect(row).toBe(1 + Math.floor(((38 - 16) / 38) * rows))
    expect(lines[row]).toMatch(/█+C7█+/)
    expect(lines.join('\n').match(/▼/g)).toHaveLength(1)
    expect(plainText({ columns: 74, rows: 25 }).join('\n')).not.toMatch(/[█▼▶]/)
  })

  it('lights the package of an op-amp for one of its sections', () => {
    expect(plainText({ lit: ['U1B'] }).join('\n')).toMatch(/█+U1█+/)
  })

  it('from below, left and right change places and the chips come into sight', () => {
    const above = plainText({ lit: ['C7'] })
    const below = plainText({ lit: ['C7'], view: 'below' })
    const from = above[0].indexOf('▼')
    expect(Math.abs(below[0].indexOf('▼') - (above[0].length - 1 - from))).toBeLessThanOrEqual(1)
    expect(below.join('\n')).toMatch(/C10/)
    expect(below.at(-1)).toMatch(/seen from below/)
  })

  it('marks the pads that a bridge joins', () => {
    const pads = plainText({ lit: ['P1'], nodes: ['bass-wiper', 'bass-cw'] }).join('')
    expect(pads.match(/◆/g)).toHaveLength(2)
    // A pin of the rig names no part: every pad at its node is meant. R12, R13 touch the output.
    expect(
      plainText({ nodes: ['out'] })
        .join('')
        .match(/◆/g),
    ).toHaveLength(2)
  })

  it('tells pin 1 and plus', () => {
    const text = plainText({ columns: 120, rows: 40 }).join('\n')
    const electrolytics = board.placements.filter(({ body }) => body === 'radial').length
    expect(text.match(/\+/g)).toHaveLength(electrolytics)
  })
})
