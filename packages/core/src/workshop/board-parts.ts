import { BoardwrightError } from '../model/error.ts'
import type { Product } from '../model/product.ts'
import { isSamePart } from '../model/rework.ts'

/** A slip in a designator would spoil figures and hide what was really done. Errors: part-unknown. */
export function refuseUnknownPart({ circuit, board, name, revision }: Product, designator: string): void {
  const onBoard = circuit.elements.filter((element) => !('place' in element) || element.place === 'board')
  const parts = [...onBoard, ...(board?.placements ?? [])].map((one) => one.designator)
  if (!parts.some((part) => isSamePart(part, designator)))
    throw new BoardwrightError('part-unknown', `${name} revision ${revision} has no part "${designator}".`)
}

/** Errors: bad-argument. */
export function refuseUnknownNode({ circuit, name }: Product, node: string): void {
  const nodes = new Set(
    circuit.elements.flatMap((one) => (one.kind === 'op-amp' ? [...one.nodes, ...one.supplyNodes] : one.nodes)),
  )
  if (!nodes.has(node))
    throw new BoardwrightError('bad-argument', `${name} has no node "${node}"; it has ${[...nodes].join(', ')}.`)
}
