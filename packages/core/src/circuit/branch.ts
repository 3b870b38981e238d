import type { CircuitElement } from '../model/circuit.ts'
import type { Netlist } from './netlist.ts'
import { parameterIndex } from './netlist.ts'
import { type Primitive, PrimitiveTable } from './primitive.ts'

/**
 * A two-terminal admittance between two nodes; `form` says how it follows from its slots in the table of primitives (s = jω):
 * `conductance` y = g; `capacitance` y = s c; `series-rc` y = s c/(1 + s c r), slots c, r; `series-rl` y = 1/(r + s l), slots
 * l, r.
 */
export type Branch = {
  designator: string
  role: 'main' | 'ccw' | 'cw' | 'leakage' | 'input-resistance' | 'input-capacitance' | 'source'
  from: string
  to: string
  form: 'conductance' | 'capacitance' | 'series-rc' | 'series-rl'
  slots: number[]
}

/**
 * An op-amp's output: a voltage A·(v(plus) − v(minus)) behind the output resistance, A = 1/((1/A0 + s τ)(1 + s τ2)). Without
 * output resistance (`gOut` −1) the output is held by the op-amp whatever current flows.
 */
export type Amplifier = {
  designator: string
  plus: string
  minus: string
  output: string
  gOut: number
  inverseGain: number
  tau: number
  tau2: number
}

export type BranchList = {
  branches: Branch[]
  amplifiers: Amplifier[]
  primitives: Primitive[]
}

/**
 * The branches a circuit is made of. Which of the optional parts are there (leakage, series resistance, second pole) is read
 * from `values`, so that the equations hold nothing that has no effect.
 */
export const branchesOf = (netlist: Netlist, values: Float64Array): BranchList => {
  const table = new PrimitiveTable(netlist)
  const list: BranchList = { branches: [], amplifiers: [], primitives: table.primitives }
  const read = (name: string) => values[parameterIndex(netlist, name)]
  netlist.elements.forEach((element, i) => {
    const { designator: d } = element
    const add = (role: Branch['role'], from: string, to: string, form: Branch['form'], ...slots: number[]) =>
      list.branches.push({ designator: d, role, from, to, form, slots })
    const [a, b] = element.nodes
    if (element.kind === 'resistor') add('main', a, b, 'conductance', table.add('inverse', d, 'value'))
    else if (element.kind === 'capacitor') addCapacitor(element, table, add, read)
    else if (element.kind === 'inductor')
      add('main', a, b, 'series-rl', table.add('same', d, 'value'), table.add('same', d, 'seriesResistance'))
    else if (element.kind === 'potentiometer') {
      add('ccw', a, b, 'conductance', table.addTrack(i, d, 'ccw'))
      add('cw', b, element.nodes[2], 'conductance', table.addTrack(i, d, 'cw'))
    } else if (element.kind === 'op-amp') addAmplifier(element, table, add, read, list)
    else if (element.kind === 'source') {
      if (read(`${d}.seriesResistance`) > 0)
        add('source', a, b, 'conductance', table.add('inverse', d, 'seriesResistance'))
    } else add('main', a, b, 'conductance', table.add('same', d, 'conductance'))
  })
  return list
}

type Add = (role: Branch['role'], from: string, to: string, form: Branch['form'], ...slots: number[]) => void
type Read = (name: string) => number
type Of<Kind extends CircuitElement['kind']> = Extract<CircuitElement, { kind: Kind }>

const addCapacitor = (element: Of<'capacitor'>, table: PrimitiveTable, add: Add, read: Read) => {
  const { designator: d } = element
  const [a, b] = element.nodes
  const c = table.add('same', d, 'value')
  if (read(`${d}.seriesResistance`) > 0) add('main', a, b, 'series-rc', c, table.add('same', d, 'seriesResistance'))
  else add('main', a, b, 'capacitance', c)
  if (Number.isFinite(read(`${d}.leakageResistance`)))
    add('leakage', a, b, 'conductance', table.add('inverse', d, 'leakageResistance'))
}

const addAmplifier = (element: Of<'op-amp'>, table: PrimitiveTable, add: Add, read: Read, list: BranchList) => {
  const { designator: d } = element
  const [plus, minus, output] = element.nodes
  if (plus !== minus) {
    if (Number.isFinite(read(`${d}.inputResistance`)))
      add('input-resistance', plus, minus, 'conductance', table.add('inverse', d, 'inputResistance'))
    if (read(`${d}.inputCapacitance`) > 0)
      add('input-capacitance', plus, minus, 'capacitance', table.add('same', d, 'inputCapacitance'))
  }
  list.amplifiers.push({
    designator: d,
    plus,
    minus,
    output,
    gOut: read(`${d}.outputResistance`) > 0 ? table.add('inverse', d, 'outputResistance') : -1,
    inverseGain: table.add('inverse', d, 'openLoopGain'),
    tau: table.add('time', d, 'gainBandwidth'),
    tau2: Number.isFinite(read(`${d}.secondPole`)) ? table.add('time', d, 'secondPole') : -1,
  })
}

/** Says which optional parts a value vector switches on: two vectors with the same answer share one set of equations. */
export const topologyKey = (netlist: Netlist, values: Float64Array): string => {
  let key = ''
  netlist.parameters.forEach(({ kind }, i) => {
    if (kind === 'seriesResistance' || kind === 'outputResistance' || kind === 'inputCapacitance')
      key += values[i] > 0 ? '1' : '0'
    else if (kind === 'leakageResistance' || kind === 'secondPole' || kind === 'inputResistance')
      key += Number.isFinite(values[i]) ? '1' : '0'
  })
  return key
}
