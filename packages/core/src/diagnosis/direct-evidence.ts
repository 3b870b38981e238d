import type { OperatingPoint } from '../circuit/operating-point.ts'
import type { ControlPositions } from '../model/circuit.ts'
import { type PreparedHypothesis, restingPoint } from './prepare-hypothesis.ts'

/** What a multimeter said. */
export type DirectReadings = { supplyCurrentA?: number; nodeVoltagesV?: Readonly<Record<string, number>> }

/** How well a resting point is known: meter, parts and what the model leaves out. Common practice, no source. */
const voltageSigma = (volts: number) => 0.06 + 0.04 * Math.abs(volts)
const currentSigma = (amps: number) => 5e-5 + 0.15 * Math.abs(amps)
/** Share of readings that mean nothing (wrong pin touched), spread evenly over so many volts or amps. */
const slipShare = 0.01
const slipRangeV = 20
const slipRangeA = 0.1

const points = new WeakMap<PreparedHypothesis, Map<string, OperatingPoint>>()

/** The resting point under a hypothesis; worked out once per setting. */
export const restingPointOf = (prepared: PreparedHypothesis, positions: ControlPositions): OperatingPoint => {
  const kept = points.get(prepared) ?? new Map<string, OperatingPoint>()
  points.set(prepared, kept)
  const key = JSON.stringify(positions)
  const found = kept.get(key)
  if (found) return found
  const made = restingPoint(prepared, positions)
  kept.set(key, made)
  return made
}

export const directVoltage = (point: OperatingPoint, node: string): number => point.nodeV[node] ?? 0

/** Current out of all supplies together, A. */
export const directCurrent = ({ supplyCurrentA }: OperatingPoint): number =>
  Object.values(supplyCurrentA).reduce((sum, amps) => sum + Math.abs(amps), 0)

const logNormal = (x: number, mean: number, sigma: number, range: number): number => {
  const d = (x - mean) / sigma
  const density = Math.exp(-0.5 * d * d) / (sigma * Math.sqrt(2 * Math.PI))
  return Math.log((1 - slipShare) * density + slipShare / range)
}

const logVoltage = (measured: number, predicted: number): number =>
  logNormal(measured, predicted, voltageSigma(predicted), slipRangeV)

const logCurrent = (measured: number, predicted: number): number =>
  logNormal(measured, predicted, currentSigma(predicted), slipRangeA)

/** ln of the probability of the multimeter's readings under a hypothesis. */
export const directEvidence = (
  prepared: PreparedHypothesis,
  positions: ControlPositions,
  { supplyCurrentA, nodeVoltagesV = {} }: DirectReadings,
): number => {
  const nodes = Object.entries(nodeVoltagesV)
  if (supplyCurrentA === undefined && nodes.length === 0) return 0
  const point = restingPointOf(prepared, positions)
  let sum = supplyCurrentA === undefined ? 0 : logCurrent(supplyCurrentA, directCurrent(point))
  for (const [node, volts] of nodes) sum += logVoltage(volts, directVoltage(point, node))
  return sum
}

/** The same when nothing is known of the fault: then any voltage and any current is as good as another. */
export const directEvidenceOfNone = ({ supplyCurrentA, nodeVoltagesV = {} }: DirectReadings): number =>
  (supplyCurrentA === undefined ? 0 : -Math.log(slipRangeA)) - Object.keys(nodeVoltagesV).length * Math.log(slipRangeV)
