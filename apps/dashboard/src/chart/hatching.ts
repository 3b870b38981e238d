import { inkColour } from './inks.ts'

/** Pencil hatching for the permitted area: it is seen without colour and lets the ruling show through. */
export function hatching(context: CanvasRenderingContext2D, pixelRatio: number): CanvasPattern | string {
  const size = Math.round(7 * pixelRatio)
  const tile = document.createElement('canvas')
  tile.width = size
  tile.height = size
  const brush = tile.getContext('2d')
  if (brush === null) return 'transparent'
  const colour = inkColour('pencil')
  brush.globalAlpha = 0.1
  brush.fillStyle = colour
  brush.fillRect(0, 0, size, size)
  brush.globalAlpha = 0.42
  brush.strokeStyle = colour
  brush.lineWidth = 0.8 * pixelRatio
  brush.beginPath()
  // Three strokes, so that the diagonal goes on across the seams of the tiles.
  for (const shift of [-size, 0, size]) {
    brush.moveTo(shift - 1, size + 1)
    brush.lineTo(shift + size + 1, -1)
  }
  brush.stroke()
  return context.createPattern(tile, 'repeat') ?? 'transparent'
}
