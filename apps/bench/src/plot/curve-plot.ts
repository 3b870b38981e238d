import { frequencyLabels, type LevelAxis, levelAxis, levelLabels } from './axis.ts'
import { type BrailleCanvas, type Layer, makeBrailleCanvas, type Run } from './braille-canvas.ts'

/** Values in dB over a rising frequency grid. */
interface Trace {
  frequencyHz: readonly number[]
  valueDb: readonly number[]
}

export interface PlotRequest {
  /** Size of the whole plot with its axes, in character cells. */
  columns: number
  rows: number
  curve?: Trace
  reference?: Trace
  band?: { frequencyHz: readonly number[]; lowerDb: readonly number[]; upperDb: readonly number[] }
  fromHz?: number
  toHz?: number
  /** Fixes the level axis to this far around 0 dB, for deviations; what lies beyond is drawn at the edge. */
  aroundZeroDb?: number
  /** Leave the frequency labels out, where a plot with the same axis stands below. */
  noFrequencyLabels?: boolean
}

const labelWidth = 6

/** Value at a frequency, linear over log f; undefined outside the grid. */
function valueAt(trace: Trace, frequencyHz: number): number | undefined {
  const { frequencyHz: grid, valueDb } = trace
  const edge = 1e-6
  if (grid.length === 0 || frequencyHz < grid[0] * (1 - edge) || frequencyHz > grid[grid.length - 1] * (1 + edge))
    return
  let low = 0
  let high = grid.length - 1
  while (high - low > 1) {
    const middle = (low + high) >> 1
    if (grid[middle] <= frequencyHz) low = middle
    else high = middle
  }
  if (high === low) return valueDb[low]
  const share = Math.log(frequencyHz / grid[low]) / Math.log(grid[high] / grid[low])
  return valueDb[low] + Math.min(1, Math.max(0, share)) * (valueDb[high] - valueDb[low])
}

function axisFor(request: PlotRequest, rows: number): LevelAxis {
  if (request.aroundZeroDb !== undefined)
    return levelAxis({ lowDb: -request.aroundZeroDb, highDb: request.aroundZeroDb, rows })
  const values = [request.curve?.valueDb, request.reference?.valueDb, request.band?.lowerDb, request.band?.upperDb]
  let lowDb = Number.POSITIVE_INFINITY
  let highDb = Number.NEGATIVE_INFINITY
  for (const list of values)
    for (const value of list ?? [])
      if (Number.isFinite(value)) {
        lowDb = Math.min(lowDb, value)
        highDb = Math.max(highDb, value)
      }
  if (lowDb > highDb) return levelAxis({ lowDb: -20, highDb: 20, rows })
  // A board that is quite dead would squeeze everything else flat.
  return levelAxis({ lowDb: Math.max(lowDb, highDb - 80), highDb, rows })
}

interface Frame {
  canvas: BrailleCanvas
  frequencies: number[]
  yOf: (valueDb: number) => number
}

/** The band: every second dot of every second column, so that a solid line stays readable on it without colour. */
function drawBand(frame: Frame, band: NonNullable<PlotRequest['band']>) {
  const lower = { frequencyHz: band.frequencyHz, valueDb: band.lowerDb }
  const upper = { frequencyHz: band.frequencyHz, valueDb: band.upperDb }
  for (const [x, frequencyHz] of frame.frequencies.entries()) {
    const low = valueAt(lower, frequencyHz)
    const high = valueAt(upper, frequencyHz)
    if (low === undefined || high === undefined || x % 2 === 1) continue
    for (let y = Math.max(0, frame.yOf(high)); y <= Math.min(frame.canvas.dotRows - 1, frame.yOf(low)); y++)
      if ((y + (x >> 1)) % 2 === 0) frame.canvas.set({ x, y, layer: 'band' })
  }
}

function drawLine(frame: Frame, line: { trace: Trace; layerAt: (x: number) => Layer | undefined }) {
  let before: number | undefined
  for (const [x, frequencyHz] of frame.frequencies.entries()) {
    const value = valueAt(line.trace, frequencyHz)
    const layer = line.layerAt(x)
    if (value === undefined || !Number.isFinite(value)) {
      before = undefined
      continue
    }
    const y = Math.min(frame.canvas.dotRows - 1, Math.max(0, frame.yOf(value)))
    // Steep parts are joined half way to the neighbour, so that the line has no holes.
    const start = before === undefined ? y : Math.round((before + y) / 2)
    if (layer)
      for (let dot = Math.min(start, y); dot <= Math.max(start, y); dot++) frame.canvas.set({ x, y: dot, layer })
    if (layer && before !== undefined)
      for (let dot = Math.min(before, start); dot <= Math.max(before, start); dot++)
        frame.canvas.set({ x: x - 1, y: dot, layer })
    before = y
  }
}

/** Per dot column: does the curve lie above (+1) or below (-1) the band? */
function outsideOf(frame: Frame, request: PlotRequest): number[] {
  const { band, curve } = request
  if (!band || !curve) return frame.frequencies.map(() => 0)
  const lower = { frequencyHz: band.frequencyHz, valueDb: band.lowerDb }
  const upper = { frequencyHz: band.frequencyHz, valueDb: band.upperDb }
  return frame.frequencies.map((frequencyHz) => {
    const value = valueAt(curve, frequencyHz)
    if (value === undefined) return 0
    if (value > (valueAt(upper, frequencyHz) ?? Number.POSITIVE_INFINITY)) return 1
    return value < (valueAt(lower, frequencyHz) ?? Number.NEGATIVE_INFINITY) ? -1 : 0
  })
}

/** The bottom line of the plot; arrows stand where the curve lies outside the band, so that colour is not needed. */
function bottomLine(outside: readonly number[], columns: number): Run[] {
  const runs: Run[] = []
  for (let column = 0; column < columns; column++) {
    const side = outside[column * 2] || outside[column * 2 + 1]
    const layer: Layer | undefined = side === 0 ? undefined : 'outside'
    const text = side === 0 ? '─' : side > 0 ? '▲' : '▼'
    const last = runs.at(-1)
    if (last && last.layer === layer) last.text += text
    else runs.push({ text, layer })
  }
  return runs
}

/**
 * Draws a curve (solid) over a reference (dashed) and a tolerance band (light dots) in braille, with a level axis (dB)
 * and a logarithmic frequency axis (Hz).
 * @returns `rows` lists of runs, each at most `columns` wide
 */
export function plotCurves(request: PlotRequest): Run[][] {
  const { fromHz = 20, toHz = 20_000 } = request
  const columns = Math.max(10, request.columns - labelWidth - 5)
  const rows = Math.max(2, request.rows - (request.noFrequencyLabels ? 1 : 2))
  const axis = axisFor(request, rows)
  const canvas = makeBrailleCanvas({ columns, rows })
  const frame: Frame = {
    canvas,
    frequencies: Array.from(
      { length: canvas.dotColumns },
      (_, x) => fromHz * (toHz / fromHz) ** (x / (canvas.dotColumns - 1)),
    ),
    yOf: (valueDb) => Math.round(((axis.highDb - valueDb) / (axis.highDb - axis.lowDb)) * (canvas.dotRows - 1)),
  }
  const outside = outsideOf(frame, request)
  if (request.band) drawBand(frame, request.band)
  if (request.reference)
    drawLine(frame, { trace: request.reference, layerAt: (x) => (x % 8 < 4 ? 'reference' : undefined) })
  if (request.curve) drawLine(frame, { trace: request.curve, layerAt: (x) => (outside[x] === 0 ? 'curve' : 'outside') })

  const labels = levelLabels({ ...axis, rows, width: labelWidth })
  const lines = canvas
    .rows()
    .map((runs, row): Run[] => [{ text: `${labels[row]} ${labels[row].trim() ? '┤' : '│'}` }, ...runs])
  lines.push([{ text: `${' '.repeat(labelWidth + 1)}└` }, ...bottomLine(outside, columns)])
  if (!request.noFrequencyLabels)
    lines.push([{ text: `${' '.repeat(labelWidth + 2)}${frequencyLabels({ fromHz, toHz, columns })}` }])
  return lines
}

/** A plot as plain text, for a command's output. */
export const plainPlot = (lines: readonly Run[][]): string =>
  lines
    .map((runs) =>
      runs
        .map((run) => run.text)
        .join('')
        .trimEnd(),
    )
    .join('\n')
