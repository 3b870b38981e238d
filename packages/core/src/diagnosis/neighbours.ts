import type { Circuit } from '../model/circuit.ts'
import type { BoardLayout, Pad } from '../model/placement.ts'
import { amplifiers, boardElements, kitOf, nominalOf, type ValuedPart, valuedParts } from './parts.ts'

/** Two parts whose middles are no farther apart are neighbours that can be put into each other's places, mm. */
const neighbourMm = 11
/** Two pads no farther apart can be joined by one drop of solder, mm. */
const bridgeMm = 2.8

const distance = (a: { xMm: number; yMm: number }, b: { xMm: number; yMm: number }): number =>
  Math.hypot(a.xMm - b.xMm, a.yMm - b.yMm)

const numberOf = (designator: string): number => Number(designator.replace(/\D/g, ''))

/**
 * Pairs of parts that could have been swapped: of one kit, of different value, next to each other. Without a board, parts
 * next to each other in number or at one node are taken for neighbours.
 */
export const swappablePairs = (circuit: Circuit, board?: BoardLayout): [ValuedPart, ValuedPart][] => {
  const parts = valuedParts(circuit)
  const place = new Map(board?.placements.map((p) => [p.designator, p]))
  const near = (a: ValuedPart, b: ValuedPart): boolean => {
    const [here, there] = [place.get(a.designator), place.get(b.designator)]
    if (here && there) return here.side === there.side && distance(here, there) <= neighbourMm
    const shares = a.nodes.some((n) => n !== circuit.ground && (b.nodes as readonly string[]).includes(n))
    return shares || Math.abs(numberOf(a.designator) - numberOf(b.designator)) === 1
  }
  return parts.flatMap((a, i) =>
    parts
      .slice(i + 1)
      .filter((b) => kitOf(a) === kitOf(b) && nominalOf(a) !== nominalOf(b) && near(a, b))
      .map((b): [ValuedPart, ValuedPart] => [a, b]),
  )
}

/** Two nodes that a drop of solder could join, with the parts whose pads are met there. */
export type BridgePlace = { nodes: [string, string]; designators: string[] }

/** Pairs of nodes whose pads are next to each other. Without a board: neighbouring pins of op-amps and potentiometers. */
export const bridgePlaces = (circuit: Circuit, board?: BoardLayout): BridgePlace[] => {
  const found = new Map<string, BridgePlace>()
  const note = (a: string, b: string, designators: string[]) => {
    if (a === b) return
    const key = [a, b].sort().join(' ')
    const known = found.get(key)
    if (!known) found.set(key, { nodes: [a, b], designators: [...new Set(designators)] })
    else known.designators = [...new Set([...known.designators, ...designators])]
  }
  const pads = (board?.placements ?? []).flatMap(({ designator, side, pads: own }) =>
    own.map((pad: Pad) => ({ ...pad, designator, side })),
  )
  pads.forEach((a, i) => {
    for (const b of pads.slice(i + 1))
      if (distance(a, b) <= bridgeMm) note(a.node, b.node, [a.designator, b.designator])
  })
  if (pads.length > 0) return [...found.values()]
  for (const { designator, nodes, supplyNodes } of amplifiers(circuit)) {
    note(nodes[0], nodes[1], [designator])
    note(nodes[1], nodes[2], [designator])
    note(nodes[0], supplyNodes[1], [designator])
  }
  for (const element of boardElements(circuit))
    if (element.kind === 'potentiometer') {
      note(element.nodes[0], element.nodes[1], [element.designator])
      note(element.nodes[1], element.nodes[2], [element.designator])
    }
  return [...found.values()]
}
