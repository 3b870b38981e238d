import { type BoardLayout, isSamePart, meantPads, type Placement, partOutline } from '@boardwright/core'
import { type BoardFrame, type BoardView, boardFrame } from './board-frame.ts'
import { makeBrailleCanvas } from './braille-canvas.ts'
import { drawPart, insideBody } from './part-dots.ts'

/**
 * How a stretch of the drawing is shown. `lit`: the suspect; `lit-name`: its name, to be shown inverse; `also`: the name of
 * a part that the measurements cannot tell from it; `pad`: a solder pad.
 */
export type BoardLook = 'plain' | 'pad' | 'also' | 'lit' | 'lit-name'

export interface BoardRun {
  text: string
  look: BoardLook
}

export interface BoardDrawing {
  board: BoardLayout
  view: BoardView
  /** Room for the drawing with its frame, in character cells. */
  columns: number
  rows: number
  /** Parts of the suspect, and parts that cannot be told from it. */
  lit: readonly string[]
  also: readonly string[]
  /** Nodes whose pads are meant: what a bridge joins, or where a pin of the rig stands. */
  nodes: readonly string[]
}

interface Cell {
  text: string
  look: BoardLook
  /** Occupied by a name or a pad: no name is written over it. */
  taken?: boolean
}

/** Names of parts: which are lit does not depend on the section, U1A sits in the package U1. */
const names = (list: readonly string[], { designator }: Placement): boolean =>
  list.some((one) => isSamePart(one, designator))

/** Through-hole pads are seen from both sides, those of a chip only from its own. */
const padsSeen = ({ body, side }: Placement, view: BoardView): boolean =>
  body !== 'chip' || (side === 'top') === (view === 'above')

const isSeen = ({ side }: Placement, view: BoardView): boolean => (side === 'top') === (view === 'above')

/**
 * Draws the board in characters: bodies as outlines, pads, names, and the suspect filled with its name cut out. Arrow heads
 * on the frame point at it, so that it is found in plain text too.
 * @returns one list of runs per row, none wider than `columns`
 */
export function drawBoard(drawing: BoardDrawing): BoardRun[][] {
  const { board, view, lit, also } = drawing
  const frame = boardFrame({ board, view, columns: drawing.columns - 2, rows: drawing.rows - 2 })
  const canvas = makeBrailleCanvas(frame)
  // A part on the far side is hidden by the board, but for one that is meant.
  const drawn = board.placements.filter((one) => isSeen(one, view) || names([...lit, ...also], one))
  for (const placement of drawn) drawPart(canvas, frame, placement)
  const cells = canvas.rows().map((runs) => runs.flatMap(({ text }) => [...text].map((one): Cell => plain(one))))
  for (const placement of drawn) if (names(lit, placement)) fillBody(cells, frame, placement)
  drawPads(cells, frame, drawing)
  // Who is written first has the best place: the suspect, then those like it.
  const rank = (one: Placement) => (names(lit, one) ? 0 : names(also, one) ? 1 : 2)
  // From below the bodies of wired parts are hidden, but whoever solders there wants to know whose joints these are.
  const named = board.placements.filter((one) => drawn.includes(one) || padsSeen(one, view))
  for (const placement of named.sort((a, b) => rank(a) - rank(b))) writeName(cells, frame, placement, drawing)
  return withEdge(cells, frame, drawing)
}

const plain = (text: string): Cell => ({ text, look: 'plain' })

/** Points of a cell that are tried: a body thinner than a row must not vanish between two rows. */
const samples = [0.25, 0.75].flatMap((dx) => [0.17, 0.5, 0.83].map((dy) => ({ dx, dy })))

function fillBody(cells: Cell[][], frame: BoardFrame, placement: Placement): void {
  const outline = partOutline(placement)
  const corner = frame.place({ xMm: 0, yMm: 0 })
  const unit = frame.place({ xMm: 1, yMm: 1 })
  for (const [row, line] of cells.entries())
    for (const column of line.keys()) {
      const inside = samples.filter(({ dx, dy }) => {
        const xMm = (column + dx - corner.column) / (unit.column - corner.column)
        const yMm = (row + dy - corner.row) / (unit.row - corner.row)
        return insideBody(outline, { xMm, yMm })
      })
      if (inside.length >= samples.length / 3) line[column] = { text: '█', look: 'lit' }
    }
}

/** A sign tells pin 1 of an op-amp and the positive pad of an electrolytic capacitor. */
function padSign({ body }: Placement, pin: string): string {
  if (pin !== '1') return '•'
  return body === 'radial' ? '+' : body === 'dual-in-line' ? '1' : '•'
}

const cellOf = (cells: Cell[][], frame: BoardFrame, at: { xMm: number; yMm: number }) => {
  const { column, row } = frame.place(at)
  return { column: clamp(column, cells[0].length - 1), row: clamp(row, cells.length - 1) }
}

const clamp = (value: number, most: number): number => Math.max(0, Math.min(Math.floor(value), most))

function drawPads(cells: Cell[][], frame: BoardFrame, { board, view, lit, nodes }: BoardDrawing): void {
  const meant = new Set(meantPads(board, nodes).map(({ pad }) => pad))
  for (const placement of board.placements.filter((one) => padsSeen(one, view)))
    for (const pad of placement.pads) {
      const { column, row } = cellOf(cells, frame, pad)
      if (cells[row][column].text === '◆') continue
      cells[row][column] = meant.has(pad)
        ? { text: '◆', look: 'lit', taken: true }
        : { text: padSign(placement, pad.pin), look: padLook(cells[row][column], names(lit, placement)), taken: true }
    }
}

/** A pad inside a lit body is cut out of it, like the name. */
const padLook = (under: Cell, isLit: boolean): BoardLook => (under.look === 'lit' ? 'lit-name' : isLit ? 'lit' : 'pad')

/** Where a name may stand, off the middle of its body, in cells: best first. */
const shifts = [
  [0, 0],
  [1, 0],
  [-1, 0],
  [0, -1],
  [0, 1],
  [2, 0],
  [-2, 0],
  [1, -1],
  [-1, 1],
] as const

function writeName(cells: Cell[][], frame: BoardFrame, placement: Placement, { lit, also }: BoardDrawing): void {
  const { designator } = placement
  const look = names(lit, placement) ? 'lit-name' : names(also, placement) ? 'also' : 'plain'
  const middle = cellOf(cells, frame, placement)
  const left = middle.column - Math.floor((designator.length - 1) / 2)
  const places = shifts.map(([dx, dy]) => ({
    row: clamp(middle.row + dy, cells.length - 1),
    from: clamp(left + dx, cells[0].length - designator.length),
  }))
  const isFree = ({ row, from }: (typeof places)[number]) =>
    cells[row].slice(from, from + designator.length).every((cell) => !cell.taken)
  const found = places.find(isFree) ?? (look === 'plain' ? undefined : places[0])
  if (!found) return
  for (const [i, text] of [...designator].entries()) cells[found.row][found.from + i] = { text, look, taken: true }
}

/** The board's edge, with arrow heads at the columns and rows of what is lit. */
function withEdge(cells: Cell[][], frame: BoardFrame, { board, view, lit, nodes }: BoardDrawing): BoardRun[][] {
  const parts = board.placements.filter((one) => names(lit, one))
  const pads = meantPads(board, nodes).map(({ pad }) => pad)
  const targets = [...parts, ...pads].map((one) => cellOf(cells, frame, one))
  const columns = new Set(targets.map(({ column }) => column))
  const rows = new Set(targets.map(({ row }) => row))
  const caption = ` seen from ${view} `
  const fill = Math.max(0, frame.columns - caption.length - 1)
  const top = cells[0].map((_, column): BoardRun => (columns.has(column) ? mark('▼') : { text: '─', look: 'plain' }))
  const edge = (text: string): BoardRun => ({ text, look: 'plain' })
  return [
    [edge('┌'), ...top, edge('┐')],
    ...cells.map((line, row) => [rows.has(row) ? mark('▶') : edge('│'), ...line, edge('│')]),
    [edge(`└─${caption.slice(0, frame.columns - 1)}${'─'.repeat(fill)}┘`)],
  ].map(joinRuns)
}

const mark = (text: string): BoardRun => ({ text, look: 'lit' })

function joinRuns(cells: readonly BoardRun[]): BoardRun[] {
  const runs: BoardRun[] = []
  for (const { text, look } of cells) {
    const last = runs.at(-1)
    if (last && last.look === look) last.text += text
    else runs.push({ text, look })
  }
  return runs
}
