import uPlot from 'uplot'
import type { ChartData, ChartLine, ChartMark } from './chart-data.ts'
import { chartFont, inkColour } from './inks.ts'

/** Writes beside each line what it is, and marks the points that break a limit. `current` gives the data on show. */
export const pencilNotes = (current: () => ChartData): uPlot.Plugin => ({
  hooks: {
    draw: (plot) => {
      const { ctx, bbox } = plot
      ctx.save()
      ctx.beginPath()
      ctx.rect(bbox.left, bbox.top, bbox.width, bbox.height)
      ctx.clip()
      ctx.setLineDash([])
      const { lines, marks, frequencyHz } = current()
      const written: Box[] = []
      for (const mark of marks) drawMark(plot, mark, written)
      for (const line of lines) if (line.label) writeLabel(plot, line, line.label, { frequencyHz, written })
      ctx.restore()
    },
  },
})

/** Where words stand already, canvas pixels: what would cover them is left out (the table and the reasons have it). */
interface Box {
  left: number
  right: number
  top: number
  bottom: number
}

interface Note {
  text: string
  x: number
  y: number
  colour: string
  bold?: boolean
}

function write({ ctx, bbox }: uPlot, { text, x, y, colour, bold = false }: Note, written: Box[]): boolean {
  const ratio = uPlot.pxRatio
  ctx.font = chartFont(14 * ratio, { bold })
  ctx.textAlign = 'center'
  ctx.textBaseline = 'middle'
  const half = ctx.measureText(text).width / 2 + 4 * ratio
  const middle = Math.min(Math.max(x, bbox.left + half), bbox.left + bbox.width - half)
  const rise = 10 * ratio
  const box = { left: middle - half, right: middle + half, top: y - rise, bottom: y + rise }
  if (written.some((b) => b.left < box.right && b.right > box.left && b.top < box.bottom && b.bottom > box.top))
    return false
  written.push(box)
  // A rim of paper keeps the words readable across lines and hatching.
  ctx.lineJoin = 'round'
  ctx.lineWidth = 5 * ratio
  ctx.strokeStyle = inkColour('paper')
  ctx.strokeText(text, middle, y)
  ctx.fillStyle = colour
  ctx.fillText(text, middle, y)
  return true
}

function keepInside({ bbox }: uPlot, y: number): number {
  const margin = 11 * uPlot.pxRatio
  return Math.min(Math.max(y, bbox.top + margin), bbox.top + bbox.height - margin)
}

function writeLabel(
  plot: uPlot,
  line: ChartLine,
  label: NonNullable<ChartLine['label']>,
  { frequencyHz, written }: { frequencyHz: number[]; written: Box[] },
) {
  const { bbox, ctx } = plot
  const wantedX = bbox.left + bbox.width * label.at
  let best: { x: number; y: number } | undefined
  for (const [i, value] of line.values.entries()) {
    if (value === null) continue
    const x = plot.valToPos(frequencyHz[i] ?? 0, 'x', true)
    if (x < bbox.left || x > bbox.left + bbox.width) continue
    if (best && Math.abs(x - wantedX) >= Math.abs(best.x - wantedX)) continue
    best = { x, y: plot.valToPos(value, 'y', true) }
  }
  if (!best) return
  const colour = inkColour(line.ink)
  const y = keepInside(plot, best.y + (label.side === 'above' ? -1 : 1) * (label.reachPx ?? 26) * uPlot.pxRatio)
  if (!write(plot, { text: label.text, x: best.x, y, colour }, written)) return
  const up = y < best.y ? 1 : -1
  ctx.strokeStyle = colour
  ctx.lineWidth = uPlot.pxRatio
  ctx.beginPath()
  ctx.moveTo(best.x, best.y - up * 3 * uPlot.pxRatio)
  ctx.lineTo(best.x, y + up * 9 * uPlot.pxRatio)
  ctx.stroke()
}

function drawMark(plot: uPlot, { frequencyHz, value, text, side }: ChartMark, written: Box[]) {
  const { bbox, ctx } = plot
  const ratio = uPlot.pxRatio
  const x = plot.valToPos(frequencyHz, 'x', true)
  const y = plot.valToPos(value, 'y', true)
  if (x < bbox.left - 1 || x > bbox.left + bbox.width + 1) return
  const up = side === 'above' ? -1 : 1
  const colour = inkColour('orange')
  ctx.fillStyle = colour
  ctx.strokeStyle = inkColour('paper')
  ctx.lineWidth = 2 * ratio
  ctx.beginPath()
  ctx.moveTo(x, y + up * 4 * ratio)
  ctx.lineTo(x - 8 * ratio, y + up * 17 * ratio)
  ctx.lineTo(x + 8 * ratio, y + up * 17 * ratio)
  ctx.closePath()
  ctx.stroke()
  ctx.fill()
  write(plot, { text, x, y: keepInside(plot, y + up * 31 * ratio), colour, bold: true }, written)
}
