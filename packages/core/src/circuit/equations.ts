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

/**
 * Where a term acts: it drives a current y·(v(plus) − v(minus) + heldV) out of node `from` into node `to`. Places are among the
 * unknown nodes, −1 for a node that is held (its voltage is then part of `heldV`) or whose balance is not written.
 */
export type Place = { from: number; to: number; plus: number; minus: number; heldV: number }

/** `factor` times a term stands at (row, column); column −1 is the right-hand side. */
type Stamp = { row: number; column: number; term: number; factor: number }

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
  /** Where each term acts, and what follows from that for the matrix. */
  places: Place[]
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
  const equations: Equations = {
    netlist,
    list,
    unknowns,
    indexOf,
    held,
    terms: [],
    places: [],
    stamps: [],
    outputIndex,
  }
  addBranches(equations)
  addAmplifiers(equations)
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

/** A place by the names of its nodes; plus and minus are the same as from and to when left out. */
export const placeOf = (
  { indexOf, held, list }: Equations,
  { from, to, plus = from, minus = to }: { from: string; to: string; plus?: string; minus?: string },
): Place => {
  // An ideal output takes any current: its row of the equations is the op-amp's law.
  const balance = (node: string) =>
    list.amplifiers.some((a) => a.gOut < 0 && a.output === node) ? -1 : (indexOf.get(node) ?? -1)
  return {
    from: balance(from),
    to: balance(to),
    plus: indexOf.get(plus) ?? -1,
    minus: indexOf.get(minus) ?? -1,
    heldV: (held.get(plus) ?? 0) - (held.get(minus) ?? 0),
  }
}

const addTerm = ({ terms, places, stamps }: Equations, term: Term, place: Place) => {
  const index = terms.push(term) - 1
  places.push(place)
  for (const [row, out] of [
    [place.from, 1],
    [place.to, -1],
  ]) {
    if (row < 0) continue
    if (place.plus >= 0) stamps.push({ row, column: place.plus, term: index, factor: out })
    if (place.minus >= 0) stamps.push({ row, column: place.minus, term: index, factor: -out })
    if (place.heldV !== 0) stamps.push({ row, column: -1, term: index, factor: -out * place.heldV })
  }
}

const addBranches = (equations: Equations) => {
  const { netlist, list } = equations
  for (const { designator, role, from, to, form, slots } of list.branches) {
    const place = placeOf(equations, { from, to })
    const source = role === 'source' ? netlist.elements.find((e) => e.designator === designator) : undefined
    // The signal source's 1 V stands behind its series resistance.
    if (source?.kind === 'source' && source.role === 'signal') place.heldV -= 1
    addTerm(equations, { form, slots }, place)
  }
}

const addAmplifiers = (equations: Equations) => {
  for (const { plus, minus, output, gOut, inverseGain, tau, tau2 } of equations.list.amplifiers) {
    const row = equations.indexOf.get(output) ?? -1
    const slots = [inverseGain, tau, tau2]
    const input = placeOf(equations, { from: plus, to: minus })
    const own = { from: row, to: -1, plus: row, minus: -1, heldV: 0 }
    if (gOut >= 0) {
      // g (v(output) − A (v(plus) − v(minus))) flows from the output node into the op-amp.
      addTerm(equations, { form: 'conductance', slots: [gOut] }, own)
      const turned = { plus: input.minus, minus: input.plus, heldV: -input.heldV }
      addTerm(equations, { form: 'transconductance', slots: [gOut, ...slots] }, { ...own, ...turned })
    } else {
      // v(plus) − v(minus) − v(output) / A = 0 in place of the current balance.
      addTerm(
        equations,
        { form: 'one', slots: [] },
        { ...own, plus: input.plus, minus: input.minus, heldV: input.heldV },
      )
      addTerm(equations, { form: 'inverse-gain', slots }, { ...own, plus: -1, minus: row })
    }
  }
}
