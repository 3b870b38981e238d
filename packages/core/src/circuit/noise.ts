import type { ControlPositions } from '../model/circuit.ts'
import { compileCircuit } from './compile.ts'
import type { Equations } from './equations.ts'
import type { Netlist } from './netlist.ts'
import { angular } from './response.ts'
import { termValue } from './term.ts'

/** Boltzmann constant, J/K. Source: SI defining constants (2019), exact. */
const boltzmann = 1.380649e-23

/** Noise density at the output that one source causes, V/√Hz over the frequency grid. */
export type NoiseContribution = { designator: string; cause: 'thermal' | 'voltage' | 'current'; density: Float64Array }

export type OutputNoise = {
  frequencyHz: Float64Array
  /** Sum of all sources, V/√Hz. */
  density: Float64Array
  contributions: NoiseContribution[]
}

/**
 * Noise at the output without signal: thermal noise of every resistance, voltage and current noise of every op-amp.
 *
 * @param options `values` for small signals; `temperatureK` (300)
 * Source: Johnson-Nyquist noise 4kTR; op-amp noise model of one voltage and two equal current sources (textbook).
 */
export const outputNoiseOf = (options: {
  netlist: Netlist
  values?: Float64Array
  positions: ControlPositions
  frequencyHz: ArrayLike<number>
  temperatureK?: number
}): OutputNoise => {
  const { netlist, positions, frequencyHz, temperatureK = 300 } = options
  const values = options.values ?? netlist.nominal
  const circuit = compileCircuit(netlist, { values })
  const omega = angular(frequencyHz)
  const primitives = circuit.primitives(values, circuit.shares(positions))
  const { run, stride } = circuit.program('adjoint')
  const records = new Float64Array(stride * omega.length)
  run(primitives, omega, records, 0)
  const solved: Solved = { equations: circuit.equations, primitives, omega, records, stride }
  const contributions = [...thermalNoise(solved, netlist, temperatureK), ...amplifierNoise(solved, netlist)]
  const density = omega.map((_, i) => Math.hypot(...contributions.map((c) => c.density[i])))
  return { frequencyHz: Float64Array.from(frequencyHz), density, contributions }
}

type Solved = {
  equations: Equations
  primitives: Float64Array
  omega: Float64Array
  records: Float64Array
  stride: number
}

const thermalNoise = (solved: Solved, netlist: Netlist, temperatureK: number): NoiseContribution[] => {
  const { equations, primitives, omega } = solved
  return equations.list.branches.flatMap(({ designator, role, from, to }, k) => {
    // Between the inputs of an op-amp there is no resistor, and a diode's noise is not thermal.
    if (role === 'input-resistance' || role === 'input-capacitance' || isJunction(netlist, designator)) return []
    const a = forCurrent(solved, from)
    const b = forCurrent(solved, to)
    const density = omega.map((w, i) => {
      const g = termValue(equations.terms[k], primitives, w).re
      const power = (a.re[i] - b.re[i]) ** 2 + (a.im[i] - b.im[i]) ** 2
      return Math.sqrt(4 * boltzmann * temperatureK * Math.max(0, g) * power)
    })
    return density.some((d) => d > 0) ? [{ designator, cause: 'thermal' as const, density }] : []
  })
}

const amplifierNoise = (solved: Solved, netlist: Netlist): NoiseContribution[] =>
  netlist.elements.flatMap((element) => {
    if (element.kind !== 'op-amp') return []
    const { designator, noiseVoltage, noiseCurrent } = element
    const plus = forCurrent(solved, element.nodes[0])
    const minus = forCurrent(solved, element.nodes[1])
    const power = (x: Transfer, i: number) => x.re[i] ** 2 + x.im[i] ** 2
    const current = solved.omega.map((_, i) => noiseCurrent * Math.sqrt(power(plus, i) + power(minus, i)))
    return [
      { designator, cause: 'voltage' as const, density: voltageNoise(solved, designator, noiseVoltage) },
      { designator, cause: 'current' as const, density: current },
    ]
  })

/** A voltage at an op-amp's input acts like the current its output law makes of it. */
const voltageNoise = (solved: Solved, designator: string, noiseVoltage: number): Float64Array => {
  const { equations, primitives, omega } = solved
  const amplifier = equations.list.amplifiers.find((a) => a.designator === designator)
  if (!amplifier) return new Float64Array(omega.length)
  const out = adjointOf(solved, equations.indexOf.get(amplifier.output))
  const { gOut, inverseGain, tau, tau2 } = amplifier
  return omega.map((w, i) => {
    const gain =
      gOut < 0
        ? { re: 1, im: 0 }
        : termValue({ form: 'transconductance', slots: [gOut, inverseGain, tau, tau2] }, primitives, w)
    return noiseVoltage * Math.hypot(gain.re, gain.im) * Math.hypot(out.re[i], out.im[i])
  })
}

type Transfer = { re: Float64Array; im: Float64Array }

/**
 * Output voltage for a unit current into a node. An ideal output takes any current without moving: its row of the equations
 * is the op-amp's law, not a current balance.
 */
const forCurrent = (solved: Solved, node: string): Transfer => {
  const { list, indexOf } = solved.equations
  const ideal = list.amplifiers.some((a) => a.gOut < 0 && a.output === node)
  return adjointOf(solved, ideal ? undefined : indexOf.get(node))
}

const adjointOf = ({ records, stride, omega }: Solved, index: number | undefined): Transfer => {
  const transfer = { re: new Float64Array(omega.length), im: new Float64Array(omega.length) }
  if (index === undefined) return transfer
  const offset = stride / 2 + 2 * index
  for (let i = 0; i < omega.length; i++) {
    transfer.re[i] = records[i * stride + offset]
    transfer.im[i] = records[i * stride + offset + 1]
  }
  return transfer
}

const isJunction = (netlist: Netlist, designator: string): boolean => {
  const kind = netlist.elements.find((e) => e.designator === designator)?.kind
  return kind === 'diode' || kind === 'zener'
}
