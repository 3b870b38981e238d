import { type CompiledCircuit, compileCircuit } from './compile.ts'
import { primitiveSlopes } from './primitive.ts'
import { angular, type ResponseOptions } from './response.ts'
import { termSlopes } from './term-slope.ts'

/**
 * How the response changes with each value. `gainDb[p]` and `phaseDeg[p]` hold, over the frequency grid, the change per unit
 * of ln(value) of parameter p of the netlist: a value 1 % high moves the gain by 0.01 times that.
 */
export type Sensitivity = { gainDb: Float64Array[]; phaseDeg: Float64Array[]; re: Float64Array; im: Float64Array }

const dbPerNeper = 20 / Math.LN10
const degPerRadian = 180 / Math.PI

/**
 * Sensitivities of the response to all values at the price of two solves per frequency.
 *
 * Source: adjoint network method, S. W. Director and R. A. Rohrer, IEEE Trans. Circuit Theory 16 (1969).
 */
export const sensitivityOf = (options: ResponseOptions): Sensitivity => {
  const { netlist, positions, frequencyHz } = options
  const values = options.values ?? netlist.nominal
  const circuit = compileCircuit(netlist, { values })
  const omega = angular(frequencyHz)
  const shares = circuit.shares(positions)
  const n = omega.length
  const gradient = responseGradient(circuit, circuit.primitives(values, shares), omega)
  const make = () => netlist.parameters.map(() => new Float64Array(n))
  const sensitivity: Sensitivity = { gainDb: make(), phaseDeg: make(), re: gradient.re, im: gradient.im }
  circuit.equations.list.primitives.forEach((primitive, q) => {
    for (const { parameter, slope } of primitiveSlopes(primitive, values, shares[q]))
      addSlope(sensitivity, parameter, slope, gradient.byPrimitive[q])
  })
  return sensitivity
}

const addSlope = ({ gainDb, phaseDeg, re, im }: Sensitivity, parameter: number, slope: number, by: Float64Array) => {
  const gain = gainDb[parameter]
  const phase = phaseDeg[parameter]
  for (let i = 0; i < gain.length; i++) {
    const power = re[i] ** 2 + im[i] ** 2
    const [dRe, dIm] = [by[2 * i] * slope, by[2 * i + 1] * slope]
    // d ln H = dH / H: its real part is the change in nepers, its imaginary part in radians.
    gain[i] += (dbPerNeper * (dRe * re[i] + dIm * im[i])) / power
    phase[i] += (degPerRadian * (dIm * re[i] - dRe * im[i])) / power
  }
}

/** The response and its complex derivative to each number of the table of primitives, (real, imaginary) per frequency. */
export type ResponseGradient = { re: Float64Array; im: Float64Array; byPrimitive: Float64Array[] }

/** For a change dY of the equations' matrix the output changes by −aᵀ dY v, with v the voltages and a the adjoint ones. */
export const responseGradient = (
  circuit: CompiledCircuit,
  primitives: Float64Array,
  omega: Float64Array,
): ResponseGradient => {
  const { equations } = circuit
  const { run, stride } = circuit.program('adjoint')
  const records = new Float64Array(stride * omega.length)
  run(primitives, omega, records, 0)
  const n = omega.length
  const half = stride / 2
  const gradient: ResponseGradient = {
    re: new Float64Array(n),
    im: new Float64Array(n),
    byPrimitive: Array.from(primitives, () => new Float64Array(2 * n)),
  }
  for (let i = 0; i < n; i++) {
    gradient.re[i] = records[i * stride + 2 * equations.outputIndex]
    gradient.im[i] = records[i * stride + 2 * equations.outputIndex + 1]
  }
  const stampsOf = equations.terms.map((_, t) => equations.stamps.filter((s) => s.term === t))
  equations.terms.forEach((term, t) => {
    for (let i = 0; i < n; i++) {
      let [re, im] = [0, 0]
      for (const { row, column, factor } of stampsOf[t]) {
        const a = i * stride + half + 2 * row
        // On the right-hand side a term acts with the opposite sign, on a "voltage" of −1.
        const vr = column < 0 ? -1 : records[i * stride + 2 * column]
        const vi = column < 0 ? 0 : records[i * stride + 2 * column + 1]
        re -= factor * (records[a] * vr - records[a + 1] * vi)
        im -= factor * (records[a] * vi + records[a + 1] * vr)
      }
      for (const { slot, re: sr, im: si } of termSlopes(term, primitives, omega[i])) {
        gradient.byPrimitive[slot][2 * i] += re * sr - im * si
        gradient.byPrimitive[slot][2 * i + 1] += re * si + im * sr
      }
    }
  })
  return gradient
}
