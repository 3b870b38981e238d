import { Circuit, type CircuitElement } from '../model/circuit.ts'
import { BoardwrightError } from '../model/error.ts'
import { checkConnections } from './check-connections.ts'
import { type Parameter, parametersOf } from './parameter.ts'

/**
 * A checked circuit: every node is connected, every value is a number. `parameters` gives the order of a value vector, and
 * `nominal` is the vector of the values as designed.
 */
export type Netlist = {
  circuit: Circuit
  ground: string
  output: string
  elements: readonly CircuitElement[]
  /** All nodes but ground, in order of appearance. */
  nodes: readonly string[]
  parameters: readonly Parameter[]
  /** Place of a parameter in the value vector, by its name. */
  index: ReadonlyMap<string, number>
  nominal: Float64Array
}

/**
 * Reads and checks a circuit.
 *
 * @throws BoardwrightError `bad-circuit`: a value that is impossible, a designator used twice, no ground, a floating node, two
 *   sources in a loop, an output that does not exist
 */
export const readNetlist = (circuit: Circuit): Netlist => {
  const checked = Circuit.parse(circuit)
  const seen = new Set<string>()
  for (const { designator } of checked.elements) {
    if (seen.has(designator)) throw new BoardwrightError('bad-circuit', `${designator} is there twice.`)
    seen.add(designator)
  }
  checkConnections(checked)
  const nodes = new Set(checked.elements.flatMap(nodesOf))
  nodes.delete(checked.ground)
  const parameters = checked.elements.flatMap(parametersOf)
  return {
    circuit: checked,
    ground: checked.ground,
    output: checked.output,
    elements: checked.elements,
    nodes: [...nodes],
    parameters,
    index: new Map(parameters.map((p, i) => [p.name, i])),
    nominal: Float64Array.from(parameters, (p) => p.nominal),
  }
}

/** All nodes an element touches, supply pins of an op-amp included. */
export const nodesOf = (element: CircuitElement): string[] =>
  element.kind === 'op-amp' ? [...element.nodes, ...element.supplyNodes] : [...element.nodes]

/**
 * A copy of a value vector with some values changed by name ("R5", "C1.seriesResistance").
 *
 * @throws BoardwrightError `bad-circuit` for a name that the circuit does not have
 */
export const withValues = (
  netlist: Netlist,
  changes: Readonly<Record<string, number>>,
  base: Float64Array = netlist.nominal,
): Float64Array => {
  const values = base.slice()
  for (const [name, value] of Object.entries(changes)) values[parameterIndex(netlist, name)] = value
  return values
}

/** Place of a parameter in the value vector. Throws `bad-circuit` for a name that the circuit does not have. */
export const parameterIndex = (netlist: Netlist, name: string): number => {
  const index = netlist.index.get(name)
  if (index !== undefined) return index
  const known = [...new Set(netlist.parameters.map((p) => p.designator))].join(', ')
  throw new BoardwrightError('bad-circuit', `The circuit has no "${name}"; it has ${known}.`, {
    remedy: 'Use a designator of the circuit, as in the product file.',
  })
}

/** The element with a designator. Throws `bad-circuit` when there is none. */
export const elementOf = (netlist: Netlist, designator: string): CircuitElement => {
  const element = netlist.elements.find((e) => e.designator === designator)
  if (element) return element
  const known = netlist.elements.map((e) => e.designator).join(', ')
  throw new BoardwrightError('bad-circuit', `The circuit has no part "${designator}"; it has ${known}.`, {
    remedy: 'Use a designator of the circuit, as in the product file.',
  })
}
