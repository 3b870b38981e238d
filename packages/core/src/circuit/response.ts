import type { ControlPositions } from '../model/circuit.ts'
import { BoardwrightError } from '../model/error.ts'
import { compileCircuit } from './compile.ts'
import type { Netlist } from './netlist.ts'

/** A complex quantity over frequency; both arrays have the length of the frequency grid. */
export type ComplexCurve = { re: Float64Array; im: Float64Array }

export type ResponseOptions = {
  netlist: Netlist
  /** Value vector; the nominal values when left out. */
  values?: Float64Array
  /** Where the controls stand, 0 to 1 each. */
  positions: ControlPositions
  frequencyHz: ArrayLike<number>
}

/** Angular frequencies in rad/s. */
export const angular = (frequencyHz: ArrayLike<number>): Float64Array =>
  Float64Array.from(frequencyHz, (f) => 2 * Math.PI * f)

/**
 * Small-signal response from the signal source's electromotive force to the output, V/V, complex.
 *
 * Source: nodal analysis; see `equations.ts`.
 */
export const responseOf = (options: ResponseOptions): ComplexCurve => {
  const { netlist, positions, frequencyHz } = options
  const values = options.values ?? netlist.nominal
  const circuit = compileCircuit(netlist, { values })
  const omega = angular(frequencyHz)
  const into = new Float64Array(2 * omega.length)
  circuit.program('output').run(circuit.primitives(values, circuit.shares(positions)), omega, into, 0)
  return pick(into, 2, 0)
}

/**
 * Small-signal voltage of any node per volt of the signal source, complex: what a probe on that node would show.
 *
 * @throws BoardwrightError `bad-circuit` when the circuit has no such node
 */
export const nodeResponseOf = (options: ResponseOptions & { node: string }): ComplexCurve => {
  const { netlist, positions, frequencyHz, node } = options
  const values = options.values ?? netlist.nominal
  const circuit = compileCircuit(netlist, { values })
  const omega = angular(frequencyHz)
  const held = circuit.equations.held.get(node)
  if (held !== undefined) return { re: new Float64Array(omega.length).fill(held), im: new Float64Array(omega.length) }
  const index = circuit.equations.indexOf.get(node)
  if (index === undefined)
    throw new BoardwrightError('bad-circuit', `The circuit has no node "${node}"; it has ${netlist.nodes.join(', ')}.`)
  const { run, stride } = circuit.program('voltages')
  const into = new Float64Array(stride * omega.length)
  run(circuit.primitives(values, circuit.shares(positions)), omega, into, 0)
  return pick(into, stride, 2 * index)
}

/** One complex number out of each record of `stride` numbers. */
export const pick = (records: Float64Array, stride: number, offset: number): ComplexCurve => {
  const n = records.length / stride
  const curve = { re: new Float64Array(n), im: new Float64Array(n) }
  for (let i = 0; i < n; i++) {
    curve.re[i] = records[i * stride + offset]
    curve.im[i] = records[i * stride + offset + 1]
  }
  return curve
}

/** Magnitude in dB (20 log10) of a complex curve. */
export const gainDbOf = ({ re, im }: ComplexCurve): Float64Array =>
  re.map((x, i) => 10 * Math.log10(x * x + im[i] * im[i]))

/** Phase in degrees, unwrapped from the first point on. */
export const phaseDegOf = ({ re, im }: ComplexCurve): Float64Array => {
  let turns = 0
  let last = 0
  return re.map((x, i) => {
    const phase = (Math.atan2(im[i], x) * 180) / Math.PI
    if (i > 0) turns -= Math.round((phase - last) / 360)
    last = phase
    return phase + 360 * turns
  })
}
