import type { Circuit } from '../model/circuit.ts'
import type { BoardLayout } from '../model/placement.ts'
import type { Hypothesis } from './hypothesis.ts'
import { bridgePlaces } from './neighbours.ts'
import { boardElements } from './parts.ts'

type Draft = Omit<Hypothesis, 'weight'>

/** Solder between neighbouring pads. */
export const bridgeHypotheses = (circuit: Circuit, board?: BoardLayout): Draft[] =>
  bridgePlaces(circuit, board).map(({ nodes, designators }) => ({
    id: `bridge ${nodes[0]} ${nodes[1]}`,
    kind: 'bridge',
    designators,
    nodes,
    fault: { kind: 'bridge', nodes, value: 0.1 },
  }))

/** Nodes where the rig touches the board. */
const pinNodes = (circuit: Circuit): string[] => {
  const nodes = (elements: Circuit['elements']) =>
    new Set(elements.flatMap((e) => (e.kind === 'op-amp' ? [...e.nodes, ...e.supplyNodes] : e.nodes)))
  const board = nodes(boardElements(circuit))
  const rig = nodes(circuit.elements.filter((e) => 'place' in e && e.place === 'rig'))
  return [...rig].filter((node) => board.has(node))
}

/** How far the capacitance between a pin and the pad it misses varies, ln: a hair's breadth or a millimetre. */
const strayDeviation = 1

/** A pin of the rig that does not touch: input, output, supply or ground. */
export const pinHypotheses = (circuit: Circuit): Draft[] =>
  pinNodes(circuit).map((node) => ({
    id: `rig-pin ${node}`,
    kind: 'rig-pin',
    designators: [],
    nodes: [node],
    fault: { kind: 'pin-open', node },
    free: { deviation: strayDeviation },
  }))
