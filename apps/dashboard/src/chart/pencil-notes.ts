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
      for (const line of current().lines) if (line.label) writeLabel(plot, line, line.label, current().frequencyHz)
      for (const mark of current().marks) drawMark(plot, mark)
      ctx.restore()
    },
  },
})

interface Note {
  text: string
  x: number
  y: number
  colour: string
  bold?: boolean
}

function write({ ctx, bbox }: uPlot, { text, x, y, colour, bold = false }: Note) {
  const ratio = uPlot.pxRatio
  ctx.font = chartFont(14 * ratio, { bold })
  ctx.textAlign = 'center'
  ctx.textBaseline = 'middle'
  const half = ctx.measureText(text).width / 2 + 4 * ratio
  const left = Math.min(Math.max(x, bbox.left + half), bbox.left + bbox.width - half)
  // A rim of paper keeps the words readable across lines and hatching.
  ctx.lineJoin = 'round'
  ctx.lineWidth = 5 * ratio
  ctx.strokeStyle = inkColour('paper')
  ctx.strokeText(text, left, y)
  ctx.fillStyle = colour
  ctx.fillText(text, left, y)
}

function keepInside({ bbox }: uPlot, y: number): number {
  const margin = 11 * uPlot.pxRatio
  return Math.min(Math.max(y, bbox.top + margin), bbox.top + bbox.height - margin)
}

function writeLabel(plot: uPlot, line: ChartLine, label: NonNullable<ChartLine['label']>, frequencyHz: number[]) {
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
  const y = keepInside(plot, best.y + (label.side === 'above' ? -26 : 26) * uPlot.pxRatio)
  ctx.strokeStyle = colour
  ctx.lineWidth = uPlot.pxRatio
  ctx.beginPath()
  ctx.moveTo(best.x, best.y)
  ctx.lineTo(best.x, y)
  ctx.stroke()
  write(plot, { text: label.text, x: best.x, y, colour })
}

function drawMark(plot: uPlot, { frequencyHz, value, text, side }: ChartMark) {
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
  write(plot, { text, x, y: keepInside(plot, y + up * 29 * ratio), colour, bold: true })
}
