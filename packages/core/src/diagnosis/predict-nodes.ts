import { solveWithBranches } from '../circuit/fault-solver.ts'
import { type BoardState, fillTable, type Prediction, pickInto, type Tap } from './predict.ts'
import type { PreparedHypothesis } from './prepare-hypothesis.ts'

/** Responses of all nodes at once, and of the output. */
export type NodePredictions = { output: Prediction; byNode: Map<string, Prediction> }

/** What a probe would show at every node of a board under a hypothesis, V/V. */
export const predictNodes = (prepared: PreparedHypothesis, state: BoardState, tap: Tap): NodePredictions => {
  const { circuit } = prepared.twin
  const { omega } = tap
  const primitives = fillTable(prepared, state, tap)
  const { voltages, size } = solveWithBranches({ circuit, primitives, omega, branches: prepared.branches, taps: [] })
  const { unknowns, held, outputIndex, netlist } = circuit.equations
  const byNode = new Map(unknowns.map((node, i) => [node, pickInto(voltages, 2 * size, 2 * i, omega.length)]))
  for (const [node, volts] of held)
    if (node !== netlist.ground)
      byNode.set(node, { re: new Float64Array(omega.length).fill(volts), im: new Float64Array(omega.length) })
  return { output: pickInto(voltages, 2 * size, 2 * outputIndex, omega.length), byNode }
}
