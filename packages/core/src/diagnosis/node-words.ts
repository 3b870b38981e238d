import type { Circuit } from '../model/circuit.ts'
import { boardElements } from './parts.ts'

const pinWords = ['the non-inverting input', 'the inverting input', 'the output'] as const
const trackWords = ['the counter-clockwise end', 'the wiper', 'the clockwise end'] as const

/** A node in words that lead the hand: "the wiper of P1", "the output of U1A", "the joint of R7 and C7". */
export const nodeWords = (circuit: Circuit, node: string): string => {
  if (node === circuit.ground) return 'ground'
  if (node === circuit.output) return 'the output of the board'
  const sources = circuit.elements.filter((e) => e.kind === 'source')
  for (const { nodes, role } of sources)
    if (nodes[0] === node) return role === 'signal' ? 'the input of the board' : 'the supply input of the board'
  const elements = boardElements(circuit)
  const amplifiers = elements.filter((e) => e.kind === 'op-amp')
  // An output or a wiper is the easiest to find; an input comes last.
  for (const leg of [2, 1, 0])
    for (const { nodes, designator } of amplifiers) if (nodes[leg] === node) return `${pinWords[leg]} of ${designator}`
  for (const leg of [1, 0, 2])
    for (const e of elements)
      if (e.kind === 'potentiometer' && e.nodes[leg] === node) return `${trackWords[leg]} of ${e.designator}`
  const positive = amplifiers.find((a) => a.supplyNodes.includes(node))
  if (positive) return `the supply pin of ${positive.designator}`
  const touching = elements.filter((e) => e.kind !== 'op-amp' && (e.nodes as readonly string[]).includes(node))
  return touching.length > 1
    ? `the joint of ${touching[0].designator} and ${touching[1].designator}`
    : `the node "${node}" at ${touching[0]?.designator ?? 'the board'}`
}

/** The rig's pin at a node, in words. */
export const rigPinWords = (circuit: Circuit, node: string): string => {
  if (node === circuit.ground) return 'ground pin'
  if (node === circuit.output) return 'output pin'
  const source = circuit.elements.find((e) => e.kind === 'source' && e.nodes[0] === node)
  if (source?.kind === 'source') return source.role === 'signal' ? 'input pin' : 'supply pin'
  return `pin at ${nodeWords(circuit, node)}`
}
