import { compileCircuit } from './compile.ts'
import { solveColumns } from './inverse.ts'
import type { Netlist } from './netlist.ts'
import { angular, type ComplexCurve, pick, type ResponseOptions } from './response.ts'
import { termValue } from './term.ts'

/**
 * Output impedance, ohm: voltage at the output for a unit current into it, the signal source at rest and the rig's load taken
 * off.
 */
export const outputImpedanceOf = (options: ResponseOptions): ComplexCurve => {
  const { netlist, positions, frequencyHz } = options
  const values = withoutRigLoad(netlist, options.values ?? netlist.nominal)
  const circuit = compileCircuit(netlist, { values })
  const { outputIndex } = circuit.equations
  const primitives = circuit.primitives(values, circuit.shares(positions))
  const [column] = solveColumns(circuit, primitives, angular(frequencyHz), [outputIndex])
  return pick(column, 2 * circuit.order.length, 2 * outputIndex)
}

/**
 * Input impedance, ohm, that the signal source sees behind its own series resistance, with the rig's load at the output.
 *
 * The current is summed over the branches at the input node: as the difference of two nearly equal voltages over the source's
 * resistance it would lose digits.
 */
export const inputImpedanceOf = (options: ResponseOptions): ComplexCurve => {
  const { netlist, positions, frequencyHz } = options
  const values = options.values ?? netlist.nominal
  const circuit = compileCircuit(netlist, { values })
  const { equations } = circuit
  const omega = angular(frequencyHz)
  const primitives = circuit.primitives(values, circuit.shares(positions))
  const { run, stride } = circuit.program('voltages')
  const records = new Float64Array(stride * omega.length)
  run(primitives, omega, records, 0)
  const source = netlist.elements.find((e) => e.kind === 'source' && e.role === 'signal')
  const node = source?.nodes[0] ?? ''
  const voltage = (name: string, i: number) => {
    const index = equations.indexOf.get(name)
    if (index === undefined) return { re: equations.held.get(name) ?? 0, im: 0 }
    return { re: records[i * stride + 2 * index], im: records[i * stride + 2 * index + 1] }
  }
  const touching = equations.list.branches
    .map((branch, term) => ({ branch, term }))
    .filter(({ branch }) => branch.designator !== source?.designator && (branch.from === node || branch.to === node))
  const curve: ComplexCurve = { re: new Float64Array(omega.length), im: new Float64Array(omega.length) }
  omega.forEach((w, i) => {
    const v = voltage(node, i)
    let [re, im] = [0, 0]
    for (const { branch, term } of touching) {
      const y = termValue(equations.terms[term], primitives, w)
      const other = voltage(branch.from === node ? branch.to : branch.from, i)
      re += y.re * (v.re - other.re) - y.im * (v.im - other.im)
      im += y.re * (v.im - other.im) + y.im * (v.re - other.re)
    }
    const power = re * re + im * im
    curve.re[i] = (v.re * re + v.im * im) / power
    curve.im[i] = (v.im * re - v.re * im) / power
  })
  return curve
}

const withoutRigLoad = (netlist: Netlist, values: Float64Array): Float64Array =>
  values.map((value, i) => {
    const { place, kind, dimension, designator } = netlist.parameters[i]
    const isSource = netlist.elements.some((e) => e.designator === designator && e.kind === 'source')
    if (place !== 'rig' || isSource || kind !== 'value') return value
    // Values so far out that nothing of the load is left, without another topology.
    return dimension === 'resistance' ? 1e18 : dimension === 'capacitance' ? 1e-24 : value
  })
