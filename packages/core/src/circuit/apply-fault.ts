import type { Circuit, CircuitElement } from '../model/circuit.ts'
import { BoardwrightError } from '../model/error.ts'
import type { Fault } from './fault.ts'
import { parseQuantity } from './quantity.ts'

/** Resistance of a joint that has no contact, and of one that is bridged, ohm. */
const openOhm = 1e11
const shortOhm = 0.05
/** Capacitance between a pin of the rig and the pad it misses, F: an estimate, no source. */
export const pinStrayF = 0.5e-12

type Of<Kind extends CircuitElement['kind']> = Extract<CircuitElement, { kind: Kind }>

/**
 * The circuit with faults put in. Parts keep their designators; what a fault adds is named after Z.
 *
 * @throws BoardwrightError `bad-circuit` for an unknown designator or node, or a fault that such a part cannot have
 */
export const applyFaults = (circuit: Circuit, faults: readonly Fault[]): Circuit =>
  faults.reduce((faulty, fault, i) => applyFault(faulty, fault, i + 1), circuit)

const applyFault = (circuit: Circuit, fault: Fault, number: number): Circuit => {
  if (fault.kind === 'pin-open') return openPin(circuit, fault.node, number)
  if (fault.kind === 'bridge') {
    for (const node of fault.nodes) requireNode(circuit, node)
    return withParts(circuit, [resistor(`ZB${number}`, fault.nodes, fault.value)])
  }
  const element = find(circuit, fault.designator)
  if (fault.kind === 'swapped') {
    const other = find(circuit, fault.with)
    if (element.kind !== other.kind || !('value' in element) || !('value' in other)) throw impossible(fault, element)
    const swapped = replace(circuit, { ...element, value: other.value } as CircuitElement)
    return replace(swapped, { ...other, value: element.value } as CircuitElement)
  }
  return change(circuit, element, fault, number)
}

type PartFault = Exclude<Fault, { kind: 'pin-open' | 'bridge' | 'swapped' }>

const change = (circuit: Circuit, element: CircuitElement, fault: PartFault, number: number): Circuit => {
  const ends: [string, string] = [element.nodes[0], element.nodes[element.nodes.length - 1]]
  switch (fault.kind) {
    case 'open':
      return element.kind === 'op-amp' ? deaden(circuit, element) : inSeries(circuit, element, openOhm, number)
    case 'short':
      // Which two pins? That is a bridge between nodes.
      if (element.kind === 'op-amp') throw impossible(fault, element)
      return withParts(circuit, [resistor(`ZS${number}`, ends, shortOhm)])
    case 'leak':
      return withParts(circuit, [resistor(`ZL${number}`, ends, fault.value)])
    case 'value':
      if (!('value' in element) || element.kind === 'source') throw impossible(fault, element)
      return replace(circuit, { ...element, value: fault.value })
    case 'series-resistance':
      return inSeries(circuit, element, parseQuantity(fault.value, 'resistance'), number, fault.leg)
    case 'dried-out':
      if (element.kind !== 'capacitor' || element.dielectric !== 'electrolytic') throw impossible(fault, element)
      // Capacitance down to a fifth and tens of ohms in series: common practice, no source.
      return replace(circuit, {
        ...element,
        value: parseQuantity(element.value, 'capacitance') * 0.2,
        seriesResistance: 60,
      })
    case 'reversed':
      return reverse(circuit, element, fault, number)
    default:
      if (element.kind !== 'op-amp') throw impossible(fault, element)
      return changeAmplifier(circuit, element, fault, number)
  }
}

const changeAmplifier = (circuit: Circuit, element: Of<'op-amp'>, fault: PartFault, number: number): Circuit => {
  if (fault.kind === 'dead') return deaden(circuit, element)
  if (fault.kind === 'slow') {
    const gainBandwidth = parseQuantity(fault.value, 'frequency')
    const share = gainBandwidth / parseQuantity(element.gainBandwidth, 'frequency')
    // A starved op-amp is slow both ways: bandwidth and slew rate follow the same current.
    return replace(circuit, { ...element, gainBandwidth, slewRate: element.slewRate * share })
  }
  const rail = element.supplyNodes[fault.kind === 'stuck-high' ? 0 : 1]
  // What is left of an output stage that has broken through to a rail: a few tens of ohms.
  return withParts(deaden(circuit, element), [resistor(`ZK${number}`, [element.nodes[2], rail], 30)])
}

/** An op-amp that drives nothing: no gain and an output that only leaks. */
const deaden = (circuit: Circuit, element: Of<'op-amp'>): Circuit =>
  replace(circuit, { ...element, openLoopGainDb: 20, gainBandwidth: 1e-3, outputResistance: 1e9, supplyCurrent: 1e-9 })

const reverse = (circuit: Circuit, element: CircuitElement, fault: PartFault, number: number): Circuit => {
  const turned = { ...element, nodes: [...element.nodes].reverse() } as CircuitElement
  if (element.kind === 'potentiometer' || element.kind === 'diode' || element.kind === 'zener')
    return replace(circuit, turned)
  if (element.kind !== 'capacitor' || element.dielectric !== 'electrolytic') throw impossible(fault, element)
  // A reversed electrolytic conducts: a few kilohms and a good part of its capacitance gone; common practice, no source.
  const less = { ...element, value: parseQuantity(element.value, 'capacitance') * 0.6 }
  return withParts(replace(circuit, less), [resistor(`ZL${number}`, [...element.nodes], 4700)])
}

/** Puts a resistance between one leg of a part and its node: by default the wiper, the output, or the first leg. */
const inSeries = (circuit: Circuit, element: CircuitElement, ohm: number, number: number, leg?: number): Circuit => {
  const at = leg ?? (element.kind === 'potentiometer' ? 1 : element.kind === 'op-amp' ? 2 : 0)
  if (at < 0 || at >= element.nodes.length)
    throw new BoardwrightError('bad-circuit', `${element.designator} has no leg ${at}.`)
  const node = `z${number}`
  const cut = { ...element, nodes: element.nodes.map((n, i) => (i === at ? node : n)) } as CircuitElement
  return withParts(replace(circuit, cut), [resistor(`ZJ${number}`, [node, element.nodes[at]], ohm)])
}

/** The rig's own parts lose their hold of a node; the recording is taken at the pin, not at the pad. */
const openPin = (circuit: Circuit, node: string, number: number): Circuit => {
  requireNode(circuit, node)
  const pin = `z${number}`
  const elements = circuit.elements.map((e) =>
    'place' in e && e.place === 'rig'
      ? ({ ...e, nodes: e.nodes.map((n) => (n === node ? pin : n)) } as CircuitElement)
      : e,
  )
  const stray: CircuitElement[] = [
    {
      kind: 'capacitor',
      designator: `ZC${number}`,
      nodes: [pin, node],
      value: pinStrayF,
      dielectric: 'film',
      place: 'rig',
    },
    resistor(`ZJ${number}`, [pin, node], openOhm),
  ]
  return { ...circuit, output: circuit.output === node ? pin : circuit.output, elements: [...elements, ...stray] }
}

const resistor = (designator: string, nodes: [string, string], value: string | number): CircuitElement => ({
  kind: 'resistor',
  designator,
  nodes,
  value,
  place: 'rig',
})

const withParts = (circuit: Circuit, parts: CircuitElement[]): Circuit => ({
  ...circuit,
  elements: [...circuit.elements, ...parts],
})

const replace = (circuit: Circuit, element: CircuitElement): Circuit => ({
  ...circuit,
  elements: circuit.elements.map((e) => (e.designator === element.designator ? element : e)),
})

const find = (circuit: Circuit, designator: string): CircuitElement => {
  const element = circuit.elements.find((e) => e.designator === designator)
  if (element) return element
  const known = circuit.elements.map((e) => e.designator).join(', ')
  throw new BoardwrightError('bad-circuit', `The circuit has no part "${designator}"; it has ${known}.`, {
    remedy: 'Use a designator of the circuit, as in the product file.',
  })
}

const requireNode = (circuit: Circuit, node: string) => {
  const nodes = new Set(
    circuit.elements.flatMap((e) => (e.kind === 'op-amp' ? [...e.nodes, ...e.supplyNodes] : e.nodes)),
  )
  if (!nodes.has(node))
    throw new BoardwrightError('bad-circuit', `The circuit has no node "${node}"; it has ${[...nodes].join(', ')}.`)
}

const impossible = (fault: Fault, element: CircuitElement) =>
  new BoardwrightError('bad-circuit', `${element.designator} is a ${element.kind}: it cannot be "${fault.kind}".`)
