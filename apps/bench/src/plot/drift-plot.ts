import type { DriftSeries } from '@boardwright/core'
import { levelAxis, levelLabels } from './axis.ts'
import { type Layer, makeBrailleCanvas, type Run } from './braille-canvas.ts'

const labelWidth = 6

/** The values that the axis must hold: what was measured, and both rig limits (for the shape the upper one). */
function axisOf({ quantity, valuesDb, rigLimitDb }: DriftSeries, rows: number) {
  const lowest = quantity === 'level' ? -rigLimitDb : 0
  return levelAxis({ lowDb: Math.min(lowest, ...valuesDb), highDb: Math.max(rigLimitDb, ...valuesDb), rows })
}

/**
 * Draws the drift of a rig in braille: each check a mark (beyond its limits a larger one), the average a line, the rig limits
 * dashed and the rig's own control limits dotted. One check is one place from left to right, the newest rightmost.
 * @returns `rows` lists of runs, each at most `columns` wide
 */
export function plotDrift(request: { series: DriftSeries; columns: number; rows: number }): Run[][] {
  const { series } = request
  const columns = Math.max(10, request.columns - labelWidth - 2)
  const rows = Math.max(2, request.rows)
  const axis = axisOf(series, rows)
  const canvas = makeBrailleCanvas({ columns, rows })
  const yOf = (db: number) => Math.round(((axis.highDb - db) / (axis.highDb - axis.lowDb)) * (canvas.dotRows - 1))
  const across = (db: number, layer: Layer, on: (x: number) => boolean) => {
    for (let x = 0; x < canvas.dotColumns; x++) if (on(x)) canvas.set({ x, y: yOf(db), layer })
  }
  for (const limit of series.quantity === 'level' ? [series.rigLimitDb, -series.rigLimitDb] : [series.rigLimitDb])
    across(limit, 'reference', (x) => x % 6 < 4)
  if (series.control) {
    across(series.control.upperDb, 'band', (x) => x % 4 === 0)
    across(series.control.lowerDb, 'band', (x) => x % 4 === 0)
  }
  drawChecks({ series, canvas, yOf })
  const labels = levelLabels({ ...axis, rows, width: labelWidth })
  return canvas
    .rows()
    .map((runs, row): Run[] => [{ text: `${labels[row]} ${labels[row].trim() ? '┤' : '│'}` }, ...runs])
}

function drawChecks(what: {
  series: DriftSeries
  canvas: ReturnType<typeof makeBrailleCanvas>
  yOf: (db: number) => number
}): void {
  const { series, canvas, yOf } = what
  const beyond = new Set(series.beyond)
  const widest = 8
  const step = Math.max(
    1,
    Math.min(widest, Math.floor((canvas.dotColumns - 4) / Math.max(1, series.valuesDb.length - 1))),
  )
  const shown = Math.floor((canvas.dotColumns - 4) / step) + 1
  const first = Math.max(0, series.valuesDb.length - shown)
  let before: number | undefined
  series.valuesDb.slice(first).forEach((value, i) => {
    const x = 1 + i * step
    const isOut = beyond.has(first + i) || Math.abs(value) > series.rigLimitDb
    const layer: Layer = isOut ? 'outside' : 'curve'
    for (const dx of [0, 1]) for (const dy of [0, 1]) canvas.set({ x: x + dx, y: yOf(value) + dy, layer })
    // A point beyond its limits is a cross, so that colour is not needed.
    if (isOut)
      for (const [dx, dy] of [
        [-1, -1],
        [2, -1],
        [-1, 2],
        [2, 2],
      ])
        canvas.set({ x: x + dx, y: yOf(value) + dy, layer })
    const average = series.averageDb[first + i]
    if (average === undefined) return
    const y = yOf(average)
    if (before !== undefined)
      for (let dx = 0; dx <= step; dx++)
        canvas.set({ x: x - step + dx, y: Math.round(before + ((y - before) * dx) / step), layer: 'part' })
    before = y
  })
}
