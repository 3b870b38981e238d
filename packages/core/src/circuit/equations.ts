import type { CircuitElement } from '../model/circuit.ts'
import { BoardwrightError } from '../model/error.ts'
import { type BranchList, branchesOf } from './branch.ts'
import type { Netlist } from './netlist.ts'
import { parameterIndex } from './netlist.ts'

/** A frequency-dependent number that the equations hold: an admittance, or what an op-amp adds. */
export type Term = {
  form: 'conductance' | 'capacitance' | 'series-rc' | 'series-rl' | 'transconductance' | 'inverse-gain' | 'one'
  slots: number[]
}

/** `factor` times a term stands at (row, column); column −1 is the right-hand side. */
export type Stamp = { row: number; column: number; term: number; factor: number }

/**
 * The nodal equations Y v = b of a circuit for a signal source of 1 V, supplies held still. Terms 0 to branches − 1 are those
 * of the branches in order.
 */
export type Equations = {
  netlist: Netlist
  list: BranchList
  /** Nodes whose voltage is sought; row k is the current balance of node k. */
  unknowns: string[]
  indexOf: ReadonlyMap<string, number>
  /** Nodes that ground and ideal sources hold, V. */
  held: ReadonlyMap<string, number>
  terms: Term[]
  stamps: Stamp[]
  outputIndex: number
}

/**
 * Sets up modified nodal analysis: nodes held by an ideal source are taken out as known, an op-amp without output resistance
 * replaces the current balance of its output node by its own law, so that no current is ever an unknown.
 *
 * @param values decides which optional parts (leakage, series resistance) the equations hold
 * Source: C. W. Ho, A. E. Ruehli, P. A. Brennan, "The modified nodal approach to network analysis", IEEE Trans. CAS 22 (1975).
 */
export const setUpEquations = (netlist: Netlist, values: Float64Array): Equations => {
  const list = branchesOf(netlist, values)
  const held = heldNodes(netlist, values, (source) => (source.role === 'signal' ? 1 : 0))
  const unknowns = netlist.nodes.filter((n) => !held.has(n) && touched(list, n))
  const indexOf = new Map(unknowns.map((n, i) => [n, i]))
  const outputIndex = indexOf.get(netlist.output)
  if (outputIndex === undefined)
    throw new BoardwrightError('bad-circuit', `The output "${netlist.output}" is held by a source: it has no response.`)
  const equations: Equations = { netlist, list, unknowns, indexOf, held, terms: [], stamps: [], outputIndex }
  stampBranches(equations)
  stampAmplifiers(equations)
  return equations
}

const touched = ({ branches, amplifiers }: BranchList, node: string): boolean =>
  branches.some((b) => b.from === node || b.to === node) ||
  amplifiers.some((a) => a.output === node || a.plus === node || a.minus === node)

type Source = Extract<CircuitElement, { kind: 'source' }>

/**
 * Voltages of ground and of the nodes that ideal sources hold.
 *
 * @param emf voltage of a source: 1 for the signal in the small-signal case, its direct voltage for the operating point
 */
export const heldNodes = (
  netlist: Netlist,
  values: Float64Array,
  emf: (source: Source) => number,
): Map<string, number> => {
  const held = new Map([[netlist.ground, 0]])
  const sources = netlist.elements
    .filter((e) => e.kind === 'source')
    .filter((e) => values[parameterIndex(netlist, `${e.designator}.seriesResistance`)] === 0)
  // A source may stand on another one, so this goes round until nothing more is found.
  for (let before = -1; before !== held.size; ) {
    before = held.size
    for (const source of sources) {
      const { nodes } = source
      const [a, b] = nodes.map((n) => held.get(n))
      if (a === undefined && b !== undefined) held.set(nodes[0], b + emf(source))
      if (b === undefined && a !== undefined) held.set(nodes[1], a - emf(source))
    }
  }
  const loose = sources.find((s) => !held.has(s.nodes[0]))
  if (loose)
    throw new BoardwrightError('bad-circuit', `The ideal source ${loose.designator} floats: neither end is held.`, {
      remedy: `Give ${loose.designator} a series resistance, or connect one end to ground.`,
    })
  return held
}

const stampBranches = (equations: Equations) => {
  const { netlist, list, terms, stamps, indexOf, held } = equations
  const ideal = new Set(list.amplifiers.filter((a) => a.gOut < 0).map((a) => a.output))
  const put = (rowNode: string, columnNode: string, term: number, factor: number) => {
    const row = indexOf.get(rowNode)
    if (row === undefined || ideal.has(rowNode)) return
    const column = indexOf.get(columnNode)
    if (column !== undefined) stamps.push({ row, column, term, factor })
    else if (held.get(columnNode)) stamps.push({ row, column: -1, term, factor: -factor * (held.get(columnNode) ?? 0) })
  }
  for (const { designator, role, from, to, form, slots } of list.branches) {
    const term = terms.push({ form, slots }) - 1
    put(from, from, term, 1)
    put(from, to, term, -1)
    put(to, to, term, 1)
    put(to, from, term, -1)
    const source = role === 'source' ? netlist.elements.find((e) => e.designator === designator) : undefined
    if (source?.kind !== 'source' || source.role !== 'signal') continue
    for (const [node, factor] of [
      [from, 1],
      [to, -1],
    ] as const) {
      const row = indexOf.get(node)
      if (row !== undefined && !ideal.has(node)) stamps.push({ row, column: -1, term, factor })
    }
  }
}

const stampAmplifiers = ({ list, terms, stamps, indexOf, held }: Equations) => {
  for (const amplifier of list.amplifiers) {
    const row = indexOf.get(amplifier.output)
    // An op-amp that drives a node held by a source has no say there.
    if (row === undefined) continue
    const put = (node: string, term: number, factor: number) => {
      const column = indexOf.get(node)
      if (column !== undefined) stamps.push({ row, column, term, factor })
      else if (held.get(node)) stamps.push({ row, column: -1, term, factor: -factor * (held.get(node) ?? 0) })
    }
    const { gOut, inverseGain, tau, tau2 } = amplifier
    const slots = [inverseGain, tau, tau2]
    if (gOut >= 0) {
      put(amplifier.output, terms.push({ form: 'conductance', slots: [gOut] }) - 1, 1)
      const gain = terms.push({ form: 'transconductance', slots: [gOut, ...slots] }) - 1
      put(amplifier.plus, gain, -1)
      put(amplifier.minus, gain, 1)
    } else {
      const one = terms.push({ form: 'one', slots: [] }) - 1
      put(amplifier.plus, one, 1)
      put(amplifier.minus, one, -1)
      put(amplifier.output, terms.push({ form: 'inverse-gain', slots }) - 1, -1)
    }
  }
}
