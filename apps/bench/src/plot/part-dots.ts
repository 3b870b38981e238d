import { outlineCorners, type PartOutline, type Placement, partOutline } from '@boardwright/core'
import type { BoardFrame } from './board-frame.ts'
import type { BrailleCanvas } from './braille-canvas.ts'

type Point = { xMm: number; yMm: number }

/** Corners enough for a circle of the size that parts have here. */
const circleCorners = 40

/** The body of a part as a closed line, mm. */
function bodyLine(outline: PartOutline): Point[] {
  if (!outline.round) return outlineCorners(outline)
  return Array.from({ length: circleCorners }, (_, i) => {
    const angle = (2 * Math.PI * i) / circleCorners
    const radius = outline.lengthMm / 2
    return { xMm: outline.xMm + radius * Math.cos(angle), yMm: outline.yMm + radius * Math.sin(angle) }
  })
}

/** True when a point lies in the body. */
export function insideBody(outline: PartOutline, { xMm, yMm }: Point): boolean {
  const [dx, dy] = [xMm - outline.xMm, yMm - outline.yMm]
  if (outline.round) return Math.hypot(dx, dy) <= outline.lengthMm / 2
  const angle = (outline.angleDeg * Math.PI) / 180
  const along = dx * Math.cos(angle) + dy * Math.sin(angle)
  const across = dy * Math.cos(angle) - dx * Math.sin(angle)
  return Math.abs(along) <= outline.lengthMm / 2 && Math.abs(across) <= outline.widthMm / 2
}

/** Draws body and legs of a part into the dots; a diode gets its ring at the second pad, the cathode. */
export function drawPart(canvas: BrailleCanvas, frame: BoardFrame, placement: Placement): void {
  const outline = partOutline(placement)
  const corners = bodyLine(outline)
  for (const [i, corner] of corners.entries())
    drawLine(canvas, frame, { from: corner, to: corners[(i + 1) % corners.length] })
  for (const { from, to } of legs(placement, outline)) drawLine(canvas, frame, { from, to })
  if (placement.body === 'diode') {
    const end = pointAlong(outline, 0.28 * outline.lengthMm)
    const across = { ...outline, angleDeg: outline.angleDeg + 90, ...end }
    const half = outline.widthMm / 2
    drawLine(canvas, frame, { from: pointAlong(across, -half), to: pointAlong(across, half) })
  }
}

function pointAlong({ xMm, yMm, angleDeg }: PartOutline, distanceMm: number): Point {
  const angle = (angleDeg * Math.PI) / 180
  return { xMm: xMm + distanceMm * Math.cos(angle), yMm: yMm + distanceMm * Math.sin(angle) }
}

/** From the pads of a part with two legs to the ends of its body, where they lie outside. */
function legs({ pads }: Placement, outline: PartOutline): { from: Point; to: Point }[] {
  if (pads.length !== 2 || outline.round) return []
  const half = outline.lengthMm / 2
  return [
    { from: pads[0], to: pointAlong(outline, -half) },
    { from: pads[1], to: pointAlong(outline, half) },
  ].filter(({ from }) => !insideBody(outline, from))
}

function drawLine(canvas: BrailleCanvas, frame: BoardFrame, line: { from: Point; to: Point }): void {
  const dots = [line.from, line.to].map((point) => {
    const { column, row } = frame.place(point)
    return { x: Math.min(canvas.dotColumns - 1, column * 2), y: Math.min(canvas.dotRows - 1, row * 4) }
  })
  const [from, to] = dots
  const steps = Math.max(1, Math.ceil(Math.max(Math.abs(to.x - from.x), Math.abs(to.y - from.y))))
  for (let step = 0; step <= steps; step++) {
    const share = step / steps
    const x = Math.floor(from.x + (to.x - from.x) * share)
    const y = Math.floor(from.y + (to.y - from.y) * share)
    canvas.set({ x, y, layer: 'part' })
  }
}
