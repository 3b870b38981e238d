import type { ExtraBranch } from '../circuit/fault-change.ts'
import type { Netlist } from '../circuit/netlist.ts'
import { type OperatingPoint, operatingPointOf } from '../circuit/operating-point.ts'
import { parametersOf } from '../circuit/parameter.ts'
import type { CircuitElement, ControlPositions } from '../model/circuit.ts'
import type { Twin } from './twin.ts'

/** Numbers of the value vector that the resting point decides: diodes' conductances, gains of stuck op-amps. */
export type Override = { index: number; value: number }

/** The resting point with resistances put between nodes, and with op-amps that draw nothing. */
export const directStateOf = (options: {
  netlist: Netlist
  values: Float64Array
  positions: ControlPositions
  branches: readonly ExtraBranch[]
  idle?: readonly string[]
}): OperatingPoint => {
  const { netlist, values, positions, branches, idle = [] } = options
  const extra = branches.map(
    ({ from, to, ohm }, i): CircuitElement => ({
      kind: 'resistor',
      designator: `ZY${i + 1}`,
      nodes: [from, to],
      value: ohm,
      place: 'rig',
    }),
  )
  const parameters = [...netlist.parameters, ...extra.flatMap(parametersOf)]
  const elements = netlist.elements.map((e) =>
    e.kind === 'op-amp' && idle.includes(e.designator) ? { ...e, supplyCurrent: 1e-9 } : e,
  )
  const wider: Netlist = {
    ...netlist,
    elements: [...elements, ...extra],
    parameters,
    index: new Map(parameters.map((p, i) => [p.name, i])),
  }
  const all = new Float64Array(parameters.length)
  all.set(values)
  branches.forEach(({ ohm }, i) => {
    all[values.length + i] = ohm
  })
  return operatingPointOf({ netlist: wider, values: all, positions })
}

/** What a resting point changes in a value vector. */
export const overridesOf = (values: Float64Array, point: OperatingPoint): Override[] => {
  const overrides: Override[] = []
  for (let index = 0; index < values.length; index++)
    if (point.values[index] !== values[index]) overrides.push({ index, value: point.values[index] })
  return overrides
}

/** The resting point of the circuit as designed, and whether its op-amps work there at all. */
export type DesignState = { point: OperatingPoint; overrides: Override[]; works: boolean }

const states = new WeakMap<Twin, Map<string, DesignState>>()

export const designStateOf = (twin: Twin, positions: ControlPositions): DesignState => {
  const key = JSON.stringify(positions)
  const kept = states.get(twin) ?? new Map<string, DesignState>()
  states.set(twin, kept)
  const found = kept.get(key)
  if (found) return found
  const { netlist } = twin
  const point = operatingPointOf({ netlist, positions })
  const works = point.settled && point.amplifiers.every((a) => !a.saturated)
  // A circuit file without a supply has stuck op-amps as drawn: then its resting point says nothing, and is not used.
  const state = { point, works, overrides: works ? overridesOf(netlist.nominal, point) : [] }
  kept.set(key, state)
  return state
}
