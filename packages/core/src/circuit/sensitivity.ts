import { type CompiledCircuit, compileCircuit } from './compile.ts'
import type { Place, Term } from './equations.ts'
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
    const dRe = by[2 * i] * slope
    const dIm = by[2 * i + 1] * slope
    // d ln H = dH / H: its real part is the change in nepers, its imaginary part in radians.
    gain[i] += (dbPerNeper * (dRe * re[i] + dIm * im[i])) / power
    phase[i] += (degPerRadian * (dIm * re[i] - dRe * im[i])) / power
  }
}

/** The response and its complex derivative to each number of the table of primitives, (real, imaginary) per frequency. */
export type ResponseGradient = { re: Float64Array; im: Float64Array; byPrimitive: Float64Array[] }

/**
 * The response and its derivative to each primitive that is wanted: for a change dY of the equations' matrix the output
 * changes by −aᵀ dY v, with v the voltages and a the adjoint ones.
 *
 * @param wanted slots of the table of primitives (all); the others keep zeros
 */
export const responseGradient = (
  circuit: CompiledCircuit,
  primitives: Float64Array,
  omega: Float64Array,
  wanted?: ReadonlySet<number>,
): ResponseGradient => {
  const { equations } = circuit
  const { run, stride } = circuit.program('adjoint')
  const records = new Float64Array(stride * omega.length)
  run(primitives, omega, records, 0)
  const n = omega.length
  const none = new Float64Array(0)
  const byPrimitive: Float64Array[] = []
  for (let slot = 0; slot < primitives.length; slot++)
    byPrimitive.push(wanted && !wanted.has(slot) ? none : new Float64Array(2 * n))
  const gradient: ResponseGradient = { re: new Float64Array(n), im: new Float64Array(n), byPrimitive }
  for (let i = 0; i < n; i++) {
    gradient.re[i] = records[i * stride + 2 * equations.outputIndex]
    gradient.im[i] = records[i * stride + 2 * equations.outputIndex + 1]
  }
  const product = new Float64Array(2 * n)
  equations.terms.forEach((term, t) => {
    if (wanted && !term.slots.some((slot) => wanted.has(slot))) return
    bilinear(product, equations.places[t], records, stride)
    addTermGradient(gradient.byPrimitive, term, product, primitives, omega)
  })
  return gradient
}

/** −a·v at every frequency: what one unit of a term at a place does to the output. */
const bilinear = (
  into: Float64Array,
  { from, to, plus, minus, heldV }: Place,
  records: Float64Array,
  stride: number,
) => {
  const half = stride / 2
  for (let i = 0, o = 0; o < into.length; i += stride, o += 2) {
    let ar = 0
    let ai = 0
    let vr = heldV
    let vi = 0
    if (from >= 0) {
      ar = records[i + half + 2 * from]
      ai = records[i + half + 2 * from + 1]
    }
    if (to >= 0) {
      ar -= records[i + half + 2 * to]
      ai -= records[i + half + 2 * to + 1]
    }
    if (plus >= 0) {
      vr += records[i + 2 * plus]
      vi += records[i + 2 * plus + 1]
    }
    if (minus >= 0) {
      vr -= records[i + 2 * minus]
      vi -= records[i + 2 * minus + 1]
    }
    into[o] = ai * vi - ar * vr
    into[o + 1] = -ar * vi - ai * vr
  }
}

const addTermGradient = (
  byPrimitive: Float64Array[],
  term: Term,
  product: Float64Array,
  primitives: Float64Array,
  omega: Float64Array,
) => {
  const first = byPrimitive[term.slots[0]]
  // The two forms that nearly every term has are written out: fits spend their time here.
  if (term.form === 'conductance') {
    for (let o = 0; o < product.length; o++) first[o] += product[o]
    return
  }
  if (term.form === 'capacitance') {
    for (let i = 0; i < omega.length; i++) {
      first[2 * i] -= omega[i] * product[2 * i + 1]
      first[2 * i + 1] += omega[i] * product[2 * i]
    }
    return
  }
  for (let i = 0; i < omega.length; i++)
    for (const { slot, re, im } of termSlopes(term, primitives, omega[i])) {
      const by = byPrimitive[slot]
      if (by.length === 0) continue
      by[2 * i] += product[2 * i] * re - product[2 * i + 1] * im
      by[2 * i + 1] += product[2 * i] * im + product[2 * i + 1] * re
    }
}
