/** What a dot belongs to; where several meet in one character cell the later in this list gives the colour. */
const layers = ['band', 'reference', 'part', 'curve', 'outside'] as const
export type Layer = (typeof layers)[number]

/** A stretch of characters of one kind; `layer` is undefined for blanks and axes. */
export interface Run {
  text: string
  layer?: Layer
}

export interface BrailleCanvas {
  readonly dotColumns: number
  readonly dotRows: number
  /** Sets one dot; x from the left, y from the top. Dots outside the canvas are ignored. */
  set(dot: { x: number; y: number; layer: Layer }): void
  /** One list of runs per text row. */
  rows(): Run[][]
}

// Unicode's braille block starts at U+2800; bit numbers of the eight dots of a cell, by column and row (Unicode 15, 21.2).
const brailleStart = 0x2800
const dotBits = [
  [0x01, 0x02, 0x04, 0x40],
  [0x08, 0x10, 0x20, 0x80],
]

/**
 * A drawing surface of 2 by 4 dots per character cell.
 * @param size in character cells
 */
export function makeBrailleCanvas(size: { columns: number; rows: number }): BrailleCanvas {
  const bits = new Uint8Array(size.columns * size.rows)
  const top = new Int8Array(size.columns * size.rows).fill(-1)
  const dotColumns = size.columns * 2
  const dotRows = size.rows * 4

  return {
    dotColumns,
    dotRows,
    set({ x, y, layer }) {
      if (x < 0 || y < 0 || x >= dotColumns || y >= dotRows) return
      const cell = (y >> 2) * size.columns + (x >> 1)
      bits[cell] |= dotBits[x & 1][y & 3]
      top[cell] = Math.max(top[cell], layers.indexOf(layer))
    },
    rows: () =>
      Array.from({ length: size.rows }, (_, row) => {
        const runs: Run[] = []
        for (let column = 0; column < size.columns; column++) {
          const cell = row * size.columns + column
          const layer = layers[top[cell]]
          const text = bits[cell] === 0 ? ' ' : String.fromCharCode(brailleStart + bits[cell])
          const last = runs.at(-1)
          if (last && last.layer === layer) last.text += text
          else runs.push({ text, layer })
        }
        return runs
      }),
  }
}
