import type { Circuit, CircuitElement } from '../model/circuit.ts'
import type { RigSettings } from '../model/rig.ts'

/**
 * The circuit with the rig as it was measured: the resistance that drives the board's input, and the one that loads its
 * output. What was not measured stays as the product file has it.
 */
export function rigCircuit(
  circuit: Circuit,
  rig: Pick<RigSettings, 'sourceResistanceOhm' | 'loadResistanceOhm'>,
): Circuit {
  const { sourceResistanceOhm, loadResistanceOhm } = rig
  if (sourceResistanceOhm === null && loadResistanceOhm === null) return circuit
  const { output, ground } = circuit
  const isLoad = (e: CircuitElement) =>
    e.kind === 'resistor' && e.place === 'rig' && e.nodes.includes(output) && e.nodes.includes(ground)
  const elements = circuit.elements.map((e): CircuitElement => {
    if (sourceResistanceOhm !== null && e.kind === 'source' && e.role === 'signal')
      return { ...e, seriesResistance: sourceResistanceOhm }
    return loadResistanceOhm !== null && e.kind === 'resistor' && isLoad(e) ? { ...e, value: loadResistanceOhm } : e
  })
  return { ...circuit, elements }
}
