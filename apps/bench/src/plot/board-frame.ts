import type { BoardLayout } from '@boardwright/core'

/** From which side the board is looked at; from below left and right change places, as when it is turned over. */
export type BoardView = 'above' | 'below'

/** A place of the board in character cells (fractions count), y from the top. */
interface CellPlace {
  column: number
  row: number
}

/** How millimetres of the board become character cells. */
export interface BoardFrame {
  columns: number
  rows: number
  place: (at: { xMm: number; yMm: number }) => CellPlace
}

/** A character cell is about twice as high as it is wide. */
const cellShape = 2

/** The largest frame of the board's own proportions inside `columns` by `rows` cells. */
export function boardFrame(options: {
  board: Pick<BoardLayout, 'widthMm' | 'heightMm'>
  view: BoardView
  columns: number
  rows: number
}): BoardFrame {
  const { widthMm, heightMm } = options.board
  const perRow = (widthMm / heightMm) * cellShape
  const columns = Math.max(8, Math.min(options.columns, Math.floor(options.rows * perRow)))
  const rows = Math.max(3, Math.min(options.rows, Math.round(columns / perRow)))
  return {
    columns,
    rows,
    place: ({ xMm, yMm }) => ({
      column: ((options.view === 'below' ? widthMm - xMm : xMm) / widthMm) * columns,
      row: ((heightMm - yMm) / heightMm) * rows,
    }),
  }
}
