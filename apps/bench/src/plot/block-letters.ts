import { letterSquares } from './letter-shapes.ts'

/**
 * How the letters are filled. `solid`: ink on an empty ground; `cut-out`: letters left empty in a full plate;
 * `hatched`: grey letters. Three verdicts so differ without any colour.
 */
export type Fill = 'solid' | 'cut-out' | 'hatched'

// Quadrant blocks by bits: 1 upper left, 2 upper right, 4 lower left, 8 lower right (Unicode's block elements).
const quadrants = ' ▘▝▀▖▌▞▛▗▚▐▜▄▙▟█'

interface Grid {
  width: number
  height: number
  ink: (x: number, y: number) => boolean
}

/** The word enlarged to a grid of half-cells: as large as fits, every stroke equally thick, centred. */
function enlarge(word: string, size: { columns: number; rows: number; fill: Fill }): Grid {
  const rim = size.fill === 'cut-out' ? 2 : 0 // a plate needs ink around its letters
  const squares = letterSquares(word)
  const across = squares[0].length
  const width = size.columns * 2
  const height = size.rows * 2
  // A cell is about twice as high as wide, so is a half-cell: a square is `scale` half-cells wide and half of that high.
  const scaleX = Math.max(1, Math.floor((width - rim * 2) / across))
  const scaleY = Math.max(1, Math.min(Math.floor((height - rim) / squares.length), Math.ceil(scaleX / 2)))
  const left = Math.floor((width - scaleX * across) / 2)
  const top = Math.floor((height - scaleY * squares.length) / 2)
  return {
    width,
    height,
    ink: (x, y) => squares[Math.floor((y - top) / scaleY)]?.[Math.floor((x - left) / scaleX)] ?? false,
  }
}

function hatchedRow(grid: Grid, row: number): string {
  let line = ''
  for (let x = 0; x < grid.width; x += 2) line += grid.ink(x, row * 2) || grid.ink(x + 1, row * 2) ? '▒' : ' '
  return line
}

/**
 * A word in letters that fill the given cells.
 * @returns `rows` strings of exactly `columns` characters
 */
export function blockLetters(request: { word: string; columns: number; rows: number; fill: Fill }): string[] {
  const grid = enlarge(request.word, request)
  return Array.from({ length: request.rows }, (_, row) => {
    if (request.fill === 'hatched') return hatchedRow(grid, row)
    let line = ''
    for (let x = 0; x < grid.width; x += 2) {
      let bits = 0
      for (let i = 0; i < 4; i++) if (grid.ink(x + (i & 1), row * 2 + (i >> 1))) bits |= 1 << i
      line += quadrants[request.fill === 'cut-out' ? 15 - bits : bits]
    }
    return line
  })
}
