import type { BodyShape, Placement } from './placement.ts'

/** The body of a part as seen from above: a box turned by an angle, or a round one. Millimetres of the board. */
export interface PartOutline {
  round: boolean
  xMm: number
  yMm: number
  /** Along the angle; the diameter of a round body. */
  lengthMm: number
  widthMm: number
  /** Counter-clockwise from the board's x direction. */
  angleDeg: number
}

/** How far the pads of a part reach along and across it, mm. */
interface PadSpan {
  alongMm: number
  acrossMm: number
}

// Sizes of the usual bodies for the pitch of their pads. Common practice, no source: a drawing to find a part by, not a
// footprint to make a board from.
const bodySizes: Readonly<Record<BodyShape, (span: PadSpan) => { lengthMm: number; widthMm: number }>> = {
  axial: ({ alongMm }) => ({ lengthMm: Math.min(6.5, 0.66 * (alongMm || 10)), widthMm: 2.4 }),
  diode: ({ alongMm }) => ({ lengthMm: Math.min(5, 0.6 * (alongMm || 7.6)), widthMm: 2.2 }),
  radial: ({ alongMm }) => square(2.2 * (alongMm || 2.5)),
  'film-box': ({ alongMm }) => ({ lengthMm: (alongMm || 5) + 2.2, widthMm: 2.8 }),
  disc: ({ alongMm }) => ({ lengthMm: alongMm || 5, widthMm: 2.6 }),
  chip: ({ alongMm }) => ({ lengthMm: alongMm || 3, widthMm: 1.6 }),
  'dual-in-line': ({ alongMm, acrossMm }) => ({
    lengthMm: (alongMm || 7.6) + 2.2,
    widthMm: Math.max(2.5, (acrossMm || 7.6) - 1.3),
  }),
  potentiometer: () => square(9.5),
  connector: ({ alongMm, acrossMm }) => ({ lengthMm: alongMm + 2.5, widthMm: acrossMm + 2.5 }),
}

const square = (sideMm: number) => ({ lengthMm: sideMm, widthMm: sideMm })

/** Where the body of a placed part lies, from its kind of body and the places of its pads. */
export function partOutline(placement: Placement): PartOutline {
  const { xMm, yMm, body, pads } = placement
  const angleDeg = pads.length === 2 ? directionDeg(pads[0], pads[1]) : placement.rotationDeg
  const size = bodySizes[body](padSpan(placement, angleDeg))
  return { round: body === 'radial', xMm, yMm, angleDeg, ...size }
}

/** The four corners of a body that is not round, in turn. */
export function outlineCorners(outline: PartOutline): { xMm: number; yMm: number }[] {
  const { xMm, yMm, lengthMm, widthMm, angleDeg } = outline
  const angle = (angleDeg * Math.PI) / 180
  const [along, across] = [
    { x: (Math.cos(angle) * lengthMm) / 2, y: (Math.sin(angle) * lengthMm) / 2 },
    { x: (-Math.sin(angle) * widthMm) / 2, y: (Math.cos(angle) * widthMm) / 2 },
  ]
  return [
    [-1, -1],
    [1, -1],
    [1, 1],
    [-1, 1],
  ].map(([a, b]) => ({ xMm: xMm + a * along.x + b * across.x, yMm: yMm + a * along.y + b * across.y }))
}

type Point = { xMm: number; yMm: number }

const directionDeg = (from: Point, to: Point): number =>
  (Math.atan2(to.yMm - from.yMm, to.xMm - from.xMm) * 180) / Math.PI

function padSpan({ pads }: Placement, angleDeg: number): PadSpan {
  if (pads.length === 0) return { alongMm: 0, acrossMm: 0 }
  const angle = (angleDeg * Math.PI) / 180
  const reach = (values: number[]) => Math.max(...values) - Math.min(...values)
  return {
    alongMm: reach(pads.map((pad) => pad.xMm * Math.cos(angle) + pad.yMm * Math.sin(angle))),
    acrossMm: reach(pads.map((pad) => pad.yMm * Math.cos(angle) - pad.xMm * Math.sin(angle))),
  }
}
