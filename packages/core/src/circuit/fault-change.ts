import type { Circuit, CircuitElement } from '../model/circuit.ts'
import type { Fault } from './fault.ts'
import { contactOf } from './fault-netlist.ts'
import { parseQuantity } from './quantity.ts'

/** One number of the value vector changed: put to `amount`, that much more in series, or with that much beside it. */
export type ValueChange = { name: string; rule: 'set' | 'add' | 'parallel'; amount: number }

/** A resistance that a fault puts between two nodes. */
export type ExtraBranch = { from: string; to: string; ohm: number }

/** A fault as a change of a circuit with fault places (see `fault-netlist.ts`); `turned` names a reversed potentiometer. */
export type FaultChange = { values: ValueChange[]; branches: ExtraBranch[]; turned?: string }

const openOhm = 1e11
const shortOhm = 0.05

type Of<Kind extends CircuitElement['kind']> = Extract<CircuitElement, { kind: Kind }>

/**
 * What a fault does to the numbers: the same as `applyFaults` does to the circuit. undefined for a fault that moves
 * connections (a pin of the rig, a diode turned round): such a one needs its own equations.
 */
export const faultChangeOf = (circuit: Circuit, fault: Fault): FaultChange | undefined => {
  if (fault.kind === 'pin-open') return undefined
  if (fault.kind === 'bridge') {
    const [from, to] = fault.nodes
    return { values: [], branches: [{ from, to, ohm: parseQuantity(fault.value, 'resistance') }] }
  }
  const element = circuit.elements.find((e) => e.designator === fault.designator)
  if (!element) return undefined
  if (fault.kind === 'swapped') {
    const other = circuit.elements.find((e) => e.designator === fault.with)
    if (!other) return undefined
    return only(set(element.designator, writtenValue(other)), set(other.designator, writtenValue(element)))
  }
  switch (element.kind) {
    case 'resistor':
      return resistorChange(element, fault)
    case 'capacitor':
      return capacitorChange(element, fault)
    case 'inductor':
      return inductorChange(element, fault)
    case 'potentiometer':
      return potentiometerChange(element, fault)
    case 'op-amp':
      return amplifierChange(element, fault)
    default:
      return undefined
  }
}

type PartFault = Exclude<Fault, { kind: 'pin-open' | 'bridge' | 'swapped' }>

const only = (...values: ValueChange[]): FaultChange => ({ values, branches: [] })
const set = (name: string, amount: number): ValueChange => ({ name, rule: 'set', amount })
const add = (name: string, amount: number): ValueChange => ({ name, rule: 'add', amount })
const beside = (name: string, amount: number): ValueChange => ({ name, rule: 'parallel', amount })
const ohmOf = (value: string | number) => parseQuantity(value, 'resistance')

const dimensionOf = (element: CircuitElement) =>
  element.kind === 'capacitor' ? 'capacitance' : element.kind === 'inductor' ? 'inductance' : 'resistance'

const writtenValue = (element: CircuitElement): number =>
  'value' in element ? parseQuantity(element.value, dimensionOf(element)) : Number.NaN

const resistorChange = ({ designator: d }: Of<'resistor'>, fault: PartFault): FaultChange | undefined => {
  if (fault.kind === 'open') return only(add(d, openOhm))
  if (fault.kind === 'short') return only(beside(d, shortOhm))
  if (fault.kind === 'value') return only(set(d, ohmOf(fault.value)))
  if (fault.kind === 'series-resistance') return only(add(d, ohmOf(fault.value)))
  if (fault.kind === 'leak') return only(beside(d, ohmOf(fault.value)))
  return undefined
}

const capacitorChange = (element: Of<'capacitor'>, fault: PartFault): FaultChange | undefined => {
  const d = element.designator
  const [series, leakage] = [`${d}.seriesResistance`, `${d}.leakageResistance`]
  const value = writtenValue(element)
  if (fault.kind === 'open') return only(add(series, openOhm), set(leakage, 1e4 * openOhm))
  if (fault.kind === 'short') return only(beside(leakage, shortOhm))
  if (fault.kind === 'value') return only(set(d, parseQuantity(fault.value, 'capacitance')))
  if (fault.kind === 'series-resistance') return only(add(series, ohmOf(fault.value)))
  if (fault.kind === 'leak') return only(beside(leakage, ohmOf(fault.value)))
  if (element.dielectric !== 'electrolytic') return undefined
  if (fault.kind === 'dried-out') return only(set(d, 0.2 * value), set(series, 60))
  if (fault.kind === 'reversed') return only(set(d, 0.6 * value), beside(leakage, 4700))
  return undefined
}

const inductorChange = ({ designator: d, nodes }: Of<'inductor'>, fault: PartFault): FaultChange | undefined => {
  const series = `${d}.seriesResistance`
  if (fault.kind === 'open') return only(add(series, openOhm))
  if (fault.kind === 'value') return only(set(d, parseQuantity(fault.value, 'inductance')))
  if (fault.kind === 'series-resistance') return only(add(series, ohmOf(fault.value)))
  if (fault.kind === 'short') return across(nodes, shortOhm)
  if (fault.kind === 'leak') return across(nodes, ohmOf(fault.value))
  return undefined
}

const across = (nodes: readonly string[], ohm: number): FaultChange => ({
  values: [],
  branches: [{ from: nodes[0], to: nodes[nodes.length - 1], ohm }],
})

const potentiometerChange = (element: Of<'potentiometer'>, fault: PartFault): FaultChange | undefined => {
  const { designator: d, nodes } = element
  if (fault.kind === 'open') return only(add(contactOf(d, 1), openOhm))
  if (fault.kind === 'short') return across(nodes, shortOhm)
  if (fault.kind === 'value') return only(set(d, ohmOf(fault.value)))
  if (fault.kind === 'series-resistance') return only(add(contactOf(d, fault.leg ?? 1), ohmOf(fault.value)))
  if (fault.kind === 'leak') return across(nodes, ohmOf(fault.value))
  if (fault.kind === 'reversed') return { values: [], branches: [], turned: d }
  return undefined
}

const amplifierChange = (element: Of<'op-amp'>, fault: PartFault): FaultChange | undefined => {
  const d = element.designator
  if (fault.kind === 'slow') return only(set(`${d}.gainBandwidth`, parseQuantity(fault.value, 'frequency')))
  if (fault.kind === 'series-resistance') return only(add(`${d}.outputResistance`, ohmOf(fault.value)))
  if (!['open', 'dead', 'stuck-high', 'stuck-low'].includes(fault.kind)) return undefined
  const values = [set(`${d}.openLoopGain`, 10), set(`${d}.gainBandwidth`, 1e-3), set(`${d}.outputResistance`, 1e9)]
  if (fault.kind === 'open' || fault.kind === 'dead') return { values, branches: [] }
  const rail = element.supplyNodes[fault.kind === 'stuck-high' ? 0 : 1]
  return { values, branches: [{ from: element.nodes[2], to: rail, ohm: 30 }] }
}
