import type { BoardLayout, Pad } from './placement.ts'

/** Two pads no farther apart can be joined by one drop of solder, mm. */
const bridgeMm = 3

/** A pad, and the part it belongs to. */
export interface MeantPad {
  designator: string
  pad: Pad
}

/**
 * The pads that a suspicion is about. Two nodes are a bridge: the pads of one that lie next to pads of the other, or the
 * nearest two. One node is a place that a pin of the rig should touch: every pad there.
 */
export function meantPads({ placements }: BoardLayout, nodes: readonly string[]): MeantPad[] {
  const at = (node: string): MeantPad[] =>
    placements.flatMap(({ designator, pads }) =>
      pads.filter((pad) => pad.node === node).map((pad) => ({ designator, pad })),
    )
  const [first, second] = nodes
  if (first === undefined) return []
  if (second === undefined) return at(first)
  const pairs = at(first).flatMap((one) => at(second).map((other) => ({ one, other, mm: distanceMm(one, other) })))
  const nearest = Math.min(...pairs.map(({ mm }) => mm))
  const close = pairs.filter(({ mm }) => mm <= Math.max(bridgeMm, nearest))
  return [...new Set(close.flatMap(({ one, other }) => [one.pad, other.pad]))].map(
    (pad) => close.flatMap(({ one, other }) => [one, other]).find((found) => found.pad === pad) as MeantPad,
  )
}

const distanceMm = (a: MeantPad, b: MeantPad): number => Math.hypot(a.pad.xMm - b.pad.xMm, a.pad.yMm - b.pad.yMm)
