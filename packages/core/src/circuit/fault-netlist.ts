import type { Circuit, CircuitElement } from '../model/circuit.ts'
import { parseQuantity } from './quantity.ts'

/** Contact of a sound solder joint, ohm: small beside everything, and far from the limits of a double. */
const soundContactOhm = 1e-3
/** Leakage of a capacitor that has none, ohm. */
const noLeakageOhm = 1e14

/**
 * The same circuit with a place for every fault: each capacitor has a series and a leakage resistance, each leg of a
 * potentiometer a contact of its own. So a fault of one part is a change of numbers, not of the equations, and one compiled
 * elimination serves them all.
 */
export const withFaultPlaces = (circuit: Circuit): Circuit => {
  const elements: CircuitElement[] = []
  for (const element of circuit.elements) {
    if (element.kind === 'capacitor') elements.push(withParasitics(element))
    else if (element.kind === 'potentiometer') elements.push(...withContacts(element))
    else elements.push(element)
  }
  return { ...circuit, elements }
}

/** Designator of the contact of a potentiometer's leg: 0 counter-clockwise, 1 wiper, 2 clockwise. */
export const contactOf = (designator: string, leg: number): string => `ZX${designator.replace(/\D/g, '')}${'ABC'[leg]}`

const withParasitics = (element: Extract<CircuitElement, { kind: 'capacitor' }>): CircuitElement => {
  const given = element.seriesResistance === undefined ? 0 : parseQuantity(element.seriesResistance, 'resistance')
  return {
    ...element,
    seriesResistance: given > 0 ? element.seriesResistance : soundContactOhm,
    leakageResistance: element.leakageResistance ?? noLeakageOhm,
  }
}

const withContacts = (element: Extract<CircuitElement, { kind: 'potentiometer' }>): CircuitElement[] => {
  const inner = element.nodes.map((_, leg) => `${element.designator}:${leg}`) as [string, string, string]
  const contacts = element.nodes.map(
    (node, leg): CircuitElement => ({
      kind: 'resistor',
      designator: contactOf(element.designator, leg),
      nodes: [inner[leg], node],
      value: soundContactOhm,
      place: 'rig',
    }),
  )
  return [{ ...element, nodes: inner }, ...contacts]
}
