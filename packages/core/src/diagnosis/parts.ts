import type { Dimension } from '../circuit/dimension.ts'
import { parseQuantity } from '../circuit/quantity.ts'
import type { Circuit, CircuitElement } from '../model/circuit.ts'

/** A part with one value: what a wrong bag, a misread code or a drift can change. */
export type ValuedPart = Extract<CircuitElement, { kind: 'resistor' | 'capacitor' | 'inductor' | 'potentiometer' }>

const dimensionByKind = {
  resistor: 'resistance',
  potentiometer: 'resistance',
  capacitor: 'capacitance',
  inductor: 'inductance',
} as const satisfies Record<ValuedPart['kind'], Dimension>

export const dimensionOfPart = ({ kind }: ValuedPart): Dimension => dimensionByKind[kind]

/** Nominal value in the SI unit. */
export const nominalOf = (part: ValuedPart): number => parseQuantity(part.value, dimensionOfPart(part))

const isOnBoard = (element: CircuitElement): boolean => !('place' in element) || element.place === 'board'

/** Parts of the board (not of the rig). */
export const boardElements = (circuit: Circuit): CircuitElement[] => circuit.elements.filter(isOnBoard)

export const valuedParts = (circuit: Circuit): ValuedPart[] =>
  boardElements(circuit).filter(
    (e): e is ValuedPart =>
      e.kind === 'resistor' || e.kind === 'capacitor' || e.kind === 'inductor' || e.kind === 'potentiometer',
  )

export const amplifiers = (circuit: Circuit) =>
  boardElements(circuit).filter((e): e is Extract<CircuitElement, { kind: 'op-amp' }> => e.kind === 'op-amp')

export const isElectrolytic = (part: CircuitElement): boolean =>
  part.kind === 'capacitor' && part.dielectric === 'electrolytic'

/** Which bags a part may be mistaken among: nobody puts an electrolytic where a film capacitor goes. */
export const kitOf = (part: ValuedPart): string => (isElectrolytic(part) ? 'electrolytic' : part.kind)

/** The kit: every value on the parts list, by the bag it is among, rising. */
export const kitValues = (circuit: Circuit): ReadonlyMap<string, readonly number[]> => {
  const kits = new Map<string, number[]>()
  for (const part of valuedParts(circuit)) {
    const values = kits.get(kitOf(part)) ?? []
    const value = nominalOf(part)
    if (!values.includes(value)) values.push(value)
    kits.set(kitOf(part), values)
  }
  for (const values of kits.values()) values.sort((a, b) => a - b)
  return kits
}
