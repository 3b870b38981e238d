import type { ExtraBranch } from '../circuit/fault-change.ts'
import { solveColumns } from '../circuit/inverse.ts'
import type { OperatingPoint } from '../circuit/operating-point.ts'
import type { ControlPositions } from '../model/circuit.ts'
import { designStateOf } from './direct-state.ts'
import type { Twin } from './twin.ts'

/** A conductance that appears (or goes, when negative) between two nodes, S. */
export type DirectChange = { from: string; to: string; siemens: number }

/** Near enough to direct current for every circuit on a small board, rad/s. */
const slowOmega = 1e-5
/** Share of its swing within which an op-amp's output counts as free; beyond it the resting point is worked out in full. */
const freeShare = 0.7

/** Response of every node to a current into every node at rest, ohm, and the resting voltages. */
type Linear = { columns: Float64Array[]; point: OperatingPoint }

const linears = new WeakMap<OperatingPoint, Linear>()

const linearOf = (twin: Twin, positions: ControlPositions): Linear => {
  const design = designStateOf(twin, positions)
  const kept = linears.get(design.point)
  if (kept) return kept
  const { circuit, netlist } = twin
  const values = netlist.nominal.slice()
  for (const { index, value } of design.overrides) values[index] = value
  const rows = circuit.order.map((_, i) => i)
  const columns = solveColumns(
    circuit,
    circuit.primitives(values, circuit.shares(positions)),
    Float64Array.of(slowOmega),
    rows,
  )
  const made = { columns, point: design.point }
  linears.set(design.point, made)
  return made
}

/**
 * True when one resistive change surely leaves every op-amp free, by the linear circuit around the resting point: then the
 * small-signal values stay as designed. Two changes at once are not screened.
 *
 * Source: the same rank-one update as in `fault-solver.ts`, at zero frequency.
 */
export const restsAsDesigned = (twin: Twin, positions: ControlPositions, changes: readonly DirectChange[]): boolean => {
  if (changes.length === 0) return true
  if (changes.length > 1) return false
  const { columns, point } = linearOf(twin, positions)
  const { indexOf } = twin.circuit.equations
  const [{ from, to, siemens }] = changes
  const [a, b] = [indexOf.get(from) ?? -1, indexOf.get(to) ?? -1]
  const transfer = (node: number) =>
    node < 0 ? 0 : (a < 0 ? 0 : columns[a][2 * node]) - (b < 0 ? 0 : columns[b][2 * node])
  const across = (point.nodeV[from] ?? 0) - (point.nodeV[to] ?? 0)
  const current = (siemens * across) / (1 + siemens * (transfer(a) - transfer(b)))
  const shift = (node: string) => -current * transfer(indexOf.get(node) ?? -1)
  return point.amplifiers.every(({ designator, outputV, lowV, highV }) => {
    const element = twin.netlist.elements.find((e) => e.designator === designator)
    if (element?.kind !== 'op-amp') return false
    const [high, low] = element.supplyNodes.map(shift)
    const middle = (lowV + highV + high + low) / 2
    const half = (highV - lowV + high - low) / 2
    const settled = outputV + shift(element.nodes[2]) - middle
    return half > 0 && Math.abs(settled) < freeShare * half && Math.abs(high - low) < 0.3 * (highV - lowV)
  })
}

export const branchChange = ({ from, to, ohm }: ExtraBranch): DirectChange => ({ from, to, siemens: 1 / ohm })
