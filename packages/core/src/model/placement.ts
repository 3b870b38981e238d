import { z } from 'zod'
import type { Circuit } from './circuit.ts'

/** Outline a part is drawn with on the board. */
export const bodyShapes = [
  'axial',
  'radial',
  'film-box',
  'disc',
  'chip',
  'dual-in-line',
  'potentiometer',
  'diode',
  'connector',
] as const
export const BodyShape = z.enum(bodyShapes)
export type BodyShape = z.infer<typeof BodyShape>

/** A solder pad: which pin of the part, which node of the circuit, and where on the board. */
export const Pad = z.object({
  pin: z.string().min(1),
  node: z.string().min(1),
  xMm: z.number(),
  yMm: z.number(),
})
export type Pad = z.infer<typeof Pad>

/** Where a part sits; x to the right and y upwards from the lower left corner of the board, seen from the top. */
export const Placement = z.object({
  designator: z.string().min(1),
  xMm: z.number(),
  yMm: z.number(),
  rotationDeg: z.number().default(0),
  side: z.enum(['top', 'bottom']).default('top'),
  body: BodyShape,
  /** Order in which the maker solders: a group is done before the next begins. */
  group: z.string().optional(),
  pads: z.array(Pad).default([]),
})
export type Placement = z.infer<typeof Placement>

export const BoardLayout = z.object({
  widthMm: z.number().positive(),
  heightMm: z.number().positive(),
  placements: z.array(Placement),
})
export type BoardLayout = z.infer<typeof BoardLayout>

/** `U1` stands for its sections U1A and U1B, which share a package. */
export const sectionsOf = (circuit: Circuit, designator: string) =>
  circuit.elements.filter(
    (e) => e.designator === designator || (e.kind === 'op-amp' && e.designator.replace(/[A-Z]$/, '') === designator),
  )

type Issue = (path: (string | number)[], message: string) => void

/** Checks a board against its circuit: every part is there, on the board, and every pad belongs to its part. */
export const checkBoard = (board: BoardLayout, circuit: Circuit, issue: Issue) => {
  const seen = new Set<string>()
  for (const [i, { designator, xMm, yMm, pads }] of board.placements.entries()) {
    const path = ['board', 'placements', i]
    if (seen.has(designator)) issue([...path, 'designator'], `${designator} is placed twice`)
    seen.add(designator)
    const sections = sectionsOf(circuit, designator)
    if (sections.length === 0) issue([...path, 'designator'], `the circuit has no part "${designator}"`)
    if (outside(board, xMm, yMm))
      issue(path, `${designator} lies beside the board of ${board.widthMm} x ${board.heightMm} mm`)
    const nodes = new Set(sections.flatMap((e) => (e.kind === 'op-amp' ? [...e.nodes, ...e.supplyNodes] : e.nodes)))
    for (const [k, pad] of pads.entries()) {
      if (sections.length > 0 && !nodes.has(pad.node))
        issue(
          [...path, 'pads', k, 'node'],
          `${designator} does not touch "${pad.node}"; it touches ${[...nodes].join(', ')}`,
        )
      if (outside(board, pad.xMm, pad.yMm))
        issue([...path, 'pads', k], `pad ${pad.pin} of ${designator} lies beside the board`)
    }
  }
}

const outside = ({ widthMm, heightMm }: BoardLayout, xMm: number, yMm: number): boolean =>
  xMm < 0 || yMm < 0 || xMm > widthMm || yMm > heightMm
