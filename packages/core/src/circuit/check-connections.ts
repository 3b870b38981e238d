import type { Circuit, CircuitElement } from '../model/circuit.ts'
import { BoardwrightError } from '../model/error.ts'
import { parseQuantity } from './quantity.ts'

/**
 * Refuses a circuit that cannot be solved because of how it is connected.
 *
 * @throws BoardwrightError `bad-circuit`, naming node and parts
 */
export const checkConnections = (circuit: Circuit): void => {
  const touching = partsByNode(circuit.elements)
  if (!touching.has(circuit.ground))
    throw new BoardwrightError('bad-circuit', `No part touches the ground node "${circuit.ground}".`, {
      remedy: `Connect the ground of the circuit to node "${circuit.ground}".`,
    })
  if (!touching.has(circuit.output))
    throw new BoardwrightError('bad-circuit', `No part touches the output node "${circuit.output}".`)
  if (circuit.elements.filter((e) => e.kind === 'source' && e.role === 'signal').length !== 1)
    throw new BoardwrightError('bad-circuit', 'The circuit needs exactly one source with the role "signal".')
  refuseShortedParts(circuit.elements)
  refuseSourceLoops(circuit.elements)
  refuseLooseNodes(circuit, touching)
  refuseIslands(circuit)
}

const partsByNode = (elements: readonly CircuitElement[]): Map<string, string[]> => {
  const touching = new Map<string, string[]>()
  for (const element of elements)
    for (const node of element.kind === 'op-amp' ? [...element.nodes, ...element.supplyNodes] : element.nodes)
      touching.set(node, [...(touching.get(node) ?? []), element.designator])
  return touching
}

const refuseShortedParts = (elements: readonly CircuitElement[]) => {
  for (const { kind, designator, nodes } of elements)
    if (kind !== 'op-amp' && nodes[0] === nodes[nodes.length - 1])
      throw new BoardwrightError('bad-circuit', `Both ends of ${designator} are at node "${nodes[0]}".`)
}

/** A node that one leg touches carries no current: almost always a misspelt name. */
const refuseLooseNodes = (circuit: Circuit, touching: ReadonlyMap<string, string[]>) => {
  for (const [node, parts] of touching)
    if (parts.length === 1 && node !== circuit.output && node !== circuit.ground)
      throw new BoardwrightError('bad-circuit', `Node "${node}" is floating: only ${parts[0]} touches it.`, {
        remedy: 'Check the spelling of the node, or connect it.',
      })
}

/** Sources without series resistance must form a tree: a loop of them forces two voltages at once. */
const refuseSourceLoops = (elements: readonly CircuitElement[]) => {
  const groups = new Groups()
  const joined = new Map<string, string>()
  for (const element of elements) {
    if (element.kind !== 'source' || parseQuantity(element.seriesResistance, 'resistance') > 0) continue
    const [a, b] = element.nodes
    if (groups.find(a) === groups.find(b)) {
      const other = joined.get(a) ?? joined.get(b)
      throw new BoardwrightError('bad-circuit', `The sources ${other} and ${element.designator} are in a loop.`, {
        remedy: 'Give one of them a series resistance, or take one out.',
      })
    }
    groups.join(a, b)
    for (const node of element.nodes) joined.set(node, element.designator)
  }
}

/** Op-amp inputs take no current and hold nothing in place; an op-amp's output is held against ground by the op-amp. */
const refuseIslands = (circuit: Circuit) => {
  const groups = new Groups()
  for (const element of circuit.elements) {
    if (element.kind === 'op-amp') groups.join(element.nodes[2], circuit.ground)
    else for (const node of element.nodes) groups.join(element.nodes[0], node)
  }
  const home = groups.find(circuit.ground)
  const loose = [...partsByNode(circuit.elements)].filter(([node]) => groups.find(node) !== home)
  if (loose.length === 0) return
  const names = loose.map(([node]) => `"${node}"`).join(', ')
  throw new BoardwrightError(
    'bad-circuit',
    `${loose.length === 1 ? `Node ${names} is` : `Nodes ${names} are`} floating: no way to ground.`,
    {
      remedy: `Connect ${loose.length === 1 ? 'it' : 'them'} to the rest of the circuit; ${[...new Set(loose.flatMap(([, parts]) => parts))].join(', ')} touch there.`,
    },
  )
}

/** Sets of nodes that are joined (union-find). */
class Groups {
  private readonly parent = new Map<string, string>()
  find(node: string): string {
    let root = node
    for (let next = this.parent.get(root); next !== undefined; next = this.parent.get(root)) root = next
    return root
  }
  join(a: string, b: string) {
    const [rootA, rootB] = [this.find(a), this.find(b)]
    if (rootA !== rootB) this.parent.set(rootA, rootB)
  }
}
