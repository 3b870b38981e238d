import type { ControlPositions } from '../model/circuit.ts'
import { DirectCurrentSystem } from './direct-current-system.ts'
import type { Netlist } from './netlist.ts'
import { parameterIndex } from './netlist.ts'

/** Where a circuit rests without signal. */
export type OperatingPoint = {
  /** Voltage of every node, V. */
  nodeV: Record<string, number>
  /** Current that each supply gives, A, by designator. */
  supplyCurrentA: Record<string, number>
  amplifiers: {
    designator: string
    outputV: number
    /** Voltage behind the output resistance, V; `lowV` and `highV` are its limits. */
    internalV: number
    lowV: number
    highV: number
    saturated: boolean
  }[]
  /** The value vector for small signals around this point: diodes' conductances, and no gain where an output is stuck. */
  values: Float64Array
  /** False when the search did not settle: the figures are then the best found. */
  settled: boolean
}

/**
 * Finds the direct voltages and currents of a circuit by Newton's method.
 *
 * @param options `values` (the nominal ones), `positions` of the controls
 */
export const operatingPointOf = (options: {
  netlist: Netlist
  values?: Float64Array
  positions: ControlPositions
}): OperatingPoint => {
  const { netlist, positions } = options
  const values = options.values ?? netlist.nominal
  const system = new DirectCurrentSystem(netlist, values, positions)
  const settled = settle(system)
  return {
    nodeV: system.nodeVoltages(),
    supplyCurrentA: system.supplyCurrents(),
    amplifiers: system.amplifierStates(),
    values: smallSignalValues(netlist, values, system),
    settled,
  }
}

const settle = (system: DirectCurrentSystem): boolean => {
  for (let round = 0; round < 300; round++) {
    // A search that goes to and fro between two stuck outputs comes to rest when it takes smaller steps.
    if (system.step(round < 60 ? 1 : 0.3) < 1e-6) return true
  }
  return false
}

/** Share of the swing beyond which an output counts as stuck: there the soft limit has flattened. */
const stuckShare = 0.985

const smallSignalValues = (netlist: Netlist, values: Float64Array, system: DirectCurrentSystem): Float64Array => {
  const small = values.slice()
  for (const { designator, conductanceS } of system.junctionStates())
    small[parameterIndex(netlist, `${designator}.conductance`)] = conductanceS
  for (const { designator, saturated } of system.amplifierStates(stuckShare))
    if (saturated) small[parameterIndex(netlist, `${designator}.openLoopGain`)] = 1e-9
  return small
}
