import { movePlacement } from '../../build/move-placement.ts'
import { BoardwrightError } from '../../model/error.ts'
import { placesOf } from '../../model/parts-list.ts'
import { type BoardLayout, bodyShapes, Placement, sectionsOf } from '../../model/placement.ts'
import type { Product } from '../../model/product.ts'
import { findProduct } from '../find-product.ts'
import { takeLines } from '../table/import-report.ts'
import { CellError, plainDecimal, readAngleDeg, readLengthMm } from '../table/read-cell.ts'
import { readTable, type TableField, type TableLine } from '../table/read-table.ts'
import type { VerbContext } from '../verb-context.ts'
import type { ImportedRevision, ImportPlacements } from './build-verbs.ts'
import { saveRevision } from './save-revision.ts'

const fields: readonly TableField[] = [
  { name: 'designator', headings: ['designator', 'reference', 'ref'], required: true },
  { name: 'x', headings: ['x', 'x mm', 'pos x', 'position x', 'mid x', 'center x', 'centre x'], required: true },
  { name: 'y', headings: ['y', 'y mm', 'pos y', 'position y', 'mid y', 'center y', 'centre y'], required: true },
  { name: 'rotation', headings: ['rotation', 'rotation deg', 'angle', 'rot'] },
  { name: 'side', headings: ['side', 'layer'] },
  { name: 'body', headings: ['body', 'shape'] },
  { name: 'group', headings: ['group', 'order group'] },
]

/**
 * Reads placements: millimetres from the lower left corner, seen from the top. Pads of a part that was placed before move
 * and turn with it. They become the placements of a new revision; parts that no line names stay where they are.
 * Errors: bad-argument, bad-product, column-missing, not-found, revision-frozen.
 */
export function importPlacements(context: VerbContext, what: ImportPlacements): ImportedRevision {
  const product = findProduct(context, what.productId)
  const board = boardOf(product, what)
  const table = readTable({ text: what.csv, fields, columns: what.columns })
  const placements = new Map(board.placements.map((placement) => [placement.designator, placement]))
  const lines = new Map<string, number>()
  const report = takeLines(table, (line) => {
    const placed = readPlacement({ line, product, board, before: placements, delimiter: table.delimiter })
    const earlier = lines.get(placed.designator)
    if (earlier !== undefined) throw new CellError('designator', `${placed.designator} is on line ${earlier} already.`)
    lines.set(placed.designator, line.line)
    placements.set(placed.designator, placed)
  })
  const changed = { ...product, board: { ...board, placements: [...placements.values()] } }
  const missing = placesOf(product).filter((place) => !placements.has(place))
  return saveRevision(context, { wanted: what, report, changed, missing })
}

function boardOf(product: Product, what: ImportPlacements): BoardLayout {
  const widthMm = what.boardWidthMm ?? product.board?.widthMm
  const heightMm = what.boardHeightMm ?? product.board?.heightMm
  if (widthMm !== undefined && heightMm !== undefined && widthMm > 0 && heightMm > 0)
    return { widthMm, heightMm, placements: product.board?.placements ?? [] }
  throw new BoardwrightError(
    'bad-argument',
    `Nothing is known of the board of ${product.name}: say its width and height in mm.`,
  )
}

function readPlacement(options: {
  line: TableLine
  product: Product
  board: BoardLayout
  before: ReadonlyMap<string, Placement>
  delimiter: string
}): Placement {
  const { line, product, board, before, delimiter } = options
  const { cells } = line
  const designator = (cells.designator ?? '').toUpperCase()
  if (sectionsOf(product.circuit, designator).length === 0)
    throw new CellError('designator', `The circuit has no part "${designator}".`)
  const coordinate = (field: 'x' | 'y', most: number) => {
    const text = cells[field]
    if (text === undefined) throw new CellError(field, `${field} is missing.`)
    const value = readLengthMm(field, plainDecimal(text, delimiter))
    if (value >= 0 && value <= most) return value
    throw new CellError(field, `${designator} would lie beside the board of ${board.widthMm} x ${board.heightMm} mm.`)
  }
  const old = before.get(designator)
  const told = {
    designator,
    xMm: coordinate('x', board.widthMm),
    yMm: coordinate('y', board.heightMm),
    rotationDeg: cells.rotation === undefined ? old?.rotationDeg : readAngleDeg('rotation', cells.rotation),
    side: cells.side === undefined ? old?.side : readSide(cells.side),
    body: cells.body?.toLowerCase() ?? old?.body,
    group: cells.group ?? old?.group,
  }
  if (!bodyShapes.some((shape) => shape === told.body))
    throw new CellError('body', `Say the body of ${designator}: one of ${bodyShapes.join(', ')}.`)
  const placed = Placement.parse(told)
  const moved = old ? movePlacement(old, placed) : placed
  if (moved.pads.some(({ xMm, yMm }) => xMm < 0 || yMm < 0 || xMm > board.widthMm || yMm > board.heightMm))
    throw new CellError('x', `A pad of ${designator} would lie beside the board.`)
  return moved
}

function readSide(text: string): 'top' | 'bottom' {
  if (/^(top|t|front)$/i.test(text)) return 'top'
  if (/^(bottom|b|back)$/i.test(text)) return 'bottom'
  throw new CellError('side', `"${text}" is neither top nor bottom.`)
}
