import type { Circuit } from '../model/circuit.ts'
import { type Netlist, readNetlist } from './netlist.ts'
import { operatingPointOf } from './operating-point.ts'

/**
 * Reads and checks a circuit and finds its resting point, so that the nominal value vector holds the diodes' conductances.
 * This is the way into everything else of the circuit twin.
 *
 * @throws BoardwrightError `bad-circuit`, `bad-quantity`: see `readNetlist`
 */
export const prepareCircuit = (circuit: Circuit): Netlist => {
  const netlist = readNetlist(circuit)
  if (!netlist.elements.some((e) => e.kind === 'diode' || e.kind === 'zener')) return netlist
  const { values } = operatingPointOf({ netlist, positions: {} })
  // A circuit whose op-amps are stuck as designed keeps its gains here: only the diodes are taken over.
  const nominal = netlist.nominal.slice()
  netlist.parameters.forEach(({ kind }, i) => {
    if (kind === 'conductance') nominal[i] = values[i]
  })
  return { ...netlist, nominal }
}
