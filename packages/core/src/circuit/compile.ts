import type { ControlPositions } from '../model/circuit.ts'
import { topologyKey } from './branch.ts'
import { scalarsOf } from './complex-expression.ts'
import { type Elimination, writeAdjoint, writeElimination, writeLastVoltage, writeVoltages } from './eliminate.ts'
import { type Equations, setUpEquations } from './equations.ts'
import type { Netlist } from './netlist.ts'
import { findPivotOrder, type Pivot } from './pivot-order.ts'
import { fillPrimitives, trackShares } from './primitive.ts'
import { makeRunner } from './run-program.ts'
import type { ProgramRunner } from './scalar-program.ts'

/**
 * What a program gives at each frequency, as pairs of real and imaginary part:
 * `output` the output voltage; `voltages` those of all unknown nodes; `adjoint` the same, then the output voltage for a unit
 * current into each of them; `factors` the factored matrix, for as many right-hand sides as wanted (see `inverse.ts`).
 */
export type ProgramKind = 'output' | 'voltages' | 'adjoint' | 'drives' | 'factors'

export type Program = { run: ProgramRunner; stride: number }

/** A circuit topology made ready for solving: equations, order of elimination, and the programs made from them when asked. */
export type CompiledCircuit = {
  netlist: Netlist
  equations: Equations
  order: readonly Pivot[]
  elimination: Elimination
  program: (kind: ProgramKind) => Program
  /** Where the wipers stand for a setting; to be used again for every board at that setting. */
  shares: (positions: ControlPositions) => Float64Array
  /** A new table of primitives, or `into` filled again. */
  primitives: (values: Float64Array, shares: Float64Array, into?: Float64Array) => Float64Array
}

const compiled = new WeakMap<Netlist, Map<string, CompiledCircuit>>()

/**
 * Compiles a circuit for value vectors with the same optional parts as `values`; compiled once per topology and kept.
 *
 * @param options `values` (the nominal ones); `generate` false: no generated code, the same numbers more slowly
 */
export const compileCircuit = (
  netlist: Netlist,
  options: { values?: Float64Array; generate?: boolean } = {},
): CompiledCircuit => {
  const values = options.values ?? netlist.nominal
  const key = `${topologyKey(netlist, values)}${options.generate === false ? 'stepped' : ''}`
  const kept = compiled.get(netlist) ?? new Map<string, CompiledCircuit>()
  compiled.set(netlist, kept)
  const found = kept.get(key)
  if (found) return found
  const made = compileTopology(netlist, values, options.generate)
  kept.set(key, made)
  return made
}

const compileTopology = (netlist: Netlist, values: Float64Array, generate?: boolean): CompiledCircuit => {
  const equations = setUpEquations(netlist, values)
  const { primitives } = equations.list
  const shares = (positions: ControlPositions) => trackShares(netlist, primitives, positions)
  const fill = (v: Float64Array, s: Float64Array, into: Float64Array = new Float64Array(primitives.length)) =>
    fillPrimitives(primitives, v, s, into)
  const controls = netlist.elements.flatMap((e) => (e.kind === 'potentiometer' && e.control ? [e.control] : []))
  const ends = [0, 0.5, 1].map((x) => fill(netlist.nominal, shares(Object.fromEntries(controls.map((c) => [c, x])))))
  const order = findPivotOrder(equations, [...ends, fill(values, shares({}))])
  const elimination = writeElimination(equations, order)
  const programs = new Map<ProgramKind, Program>()
  const program = (kind: ProgramKind): Program => {
    const found = programs.get(kind)
    if (found) return found
    const outputs = scalarsOf(elimination.program, outputsOf(equations, elimination, kind))
    const made = { run: makeRunner(elimination.program, outputs, { generate }), stride: outputs.length }
    programs.set(kind, made)
    return made
  }
  return { netlist, equations, order, elimination, program, shares, primitives: fill }
}

const outputsOf = (equations: Equations, elimination: Elimination, kind: ProgramKind) => {
  if (kind === 'output') return [writeLastVoltage(elimination)]
  if (kind === 'voltages') return writeVoltages(elimination)
  if (kind === 'adjoint') return [...writeVoltages(elimination), ...writeAdjoint(elimination)]
  if (kind === 'drives') {
    const voltages = writeVoltages(elimination)
    const { list, indexOf, outputIndex } = equations
    return [outputIndex, ...list.amplifiers.map((a) => indexOf.get(a.output))].map((i) =>
      i === undefined ? {} : voltages[i],
    )
  }
  const { inversePivots, multipliers, upper } = elimination
  return inversePivots.flatMap((inverse, k) => [
    inverse,
    ...multipliers[k].map((m) => m.factor),
    ...upper[k].map((u) => u.value),
  ])
}
