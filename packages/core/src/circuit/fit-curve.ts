import { compileCircuit } from './compile.ts'
import type { Place, Term } from './equations.ts'
import type { MeasuredGain } from './measured-gain.ts'
import type { Netlist } from './netlist.ts'
import { primitiveSlopes } from './primitive.ts'
import { angular } from './response.ts'
import { termSlopes } from './term-slope.ts'

const dbPerNeper = 20 / Math.LN10

/** A term of the equations that a fitted value has a part in. */
type Share = { column: number; slot: number; term: Term; place: Place }

/** What the sums over frequency need, filled at each evaluation. */
type Work = {
  records: Float64Array
  stride: number
  omega: Float64Array
  weight: Float64Array
  conjugate: Float64Array
}

/**
 * One measured curve made ready for a fit.
 *
 * @param places the parameters that are fitted, by their place in the value vector
 * @returns `points` on the curve, and `evaluate`, which writes residuals (in standard uncertainties) and derivatives to
 *   ln(value) from row `at` on; the last column is the level's, where there is one more than places
 */
export const fitCurve = (netlist: Netlist, base: Float64Array, measured: MeasuredGain, places: readonly number[]) => {
  const { positions, frequencyHz, gainDb, uncertaintyDb } = measured
  const circuit = compileCircuit(netlist, { values: base })
  const { equations } = circuit
  const rules = equations.list.primitives
  const shares = circuit.shares(positions)
  const omega = angular(frequencyHz)
  const n = omega.length
  const weight = omega.map((_, i) => 1 / (typeof uncertaintyDb === 'number' ? uncertaintyDb : uncertaintyDb[i]))
  const { run, stride } = circuit.program('adjoint')
  const work: Work = {
    records: new Float64Array(stride * n),
    stride,
    omega,
    weight,
    conjugate: new Float64Array(2 * n),
  }
  const table = new Float64Array(rules.length)
  const wanted = sharesOf(equations, places)
  const evaluate = (
    values: Float64Array,
    level: number,
    residuals: Float64Array,
    jacobian: Float64Array[],
    at: number,
  ) => {
    run(circuit.primitives(values, shares, table), omega, work.records, 0)
    for (let i = 0, o = 2 * equations.outputIndex; i < n; i++, o += stride) {
      const re = work.records[o]
      const im = work.records[o + 1]
      const power = re * re + im * im
      residuals[at + i] = (10 * Math.log10(power) + level - gainDb[i]) * weight[i]
      // weight · dB · 1/H, by which every derivative of H is multiplied.
      const scale = (dbPerNeper * weight[i]) / power
      work.conjugate[2 * i] = re * scale
      work.conjugate[2 * i + 1] = -im * scale
    }
    if (jacobian.length > places.length) jacobian[places.length].set(weight, at)
    for (const share of wanted) {
      const slope = primitiveSlopes(rules[share.slot], values, shares[share.slot]).find(
        (s) => s.parameter === places[share.column],
      )
      if (slope) addDerivative(jacobian[share.column], at, slope.slope, share, work, table)
    }
  }
  return { points: n, evaluate }
}

const sharesOf = (
  {
    terms,
    places: termPlaces,
    list,
  }: { terms: Term[]; places: Place[]; list: { primitives: { parameter: number; end: number }[] } },
  places: readonly number[],
): Share[] =>
  terms.flatMap((term, t) =>
    [...new Set(term.slots)].flatMap((slot) => {
      if (slot < 0) return []
      const { parameter, end } = list.primitives[slot]
      return places.flatMap((place, column) =>
        place === parameter || place === end ? [{ column, slot, term, place: termPlaces[t] }] : [],
      )
    }),
  )

/** Adds weight · d(gain in dB)/d ln(value) of one term: the real part of −a·v·(dy/dx)·(dx/d ln value)/H. */
const addDerivative = (
  into: Float64Array,
  at: number,
  slope: number,
  { term, slot, place }: Share,
  { records, stride, omega, conjugate }: Work,
  table: Float64Array,
) => {
  const { from, to, plus, minus, heldV } = place
  const half = stride / 2
  for (let i = 0, o = 0; i < omega.length; i++, o += stride) {
    let ar = 0
    let ai = 0
    let vr = heldV
    let vi = 0
    if (from >= 0) {
      ar = records[o + half + 2 * from]
      ai = records[o + half + 2 * from + 1]
    }
    if (to >= 0) {
      ar -= records[o + half + 2 * to]
      ai -= records[o + half + 2 * to + 1]
    }
    if (plus >= 0) {
      vr += records[o + 2 * plus]
      vi += records[o + 2 * plus + 1]
    }
    if (minus >= 0) {
      vr -= records[o + 2 * minus]
      vi -= records[o + 2 * minus + 1]
    }
    const pr = ai * vi - ar * vr
    const pi = -ar * vi - ai * vr
    const qr = pr * conjugate[2 * i] - pi * conjugate[2 * i + 1]
    const qi = pr * conjugate[2 * i + 1] + pi * conjugate[2 * i]
    if (term.form === 'conductance') into[at + i] += slope * qr
    else if (term.form === 'capacitance') into[at + i] -= slope * omega[i] * qi
    else
      for (const d of termSlopes(term, table, omega[i]))
        if (d.slot === slot) into[at + i] += slope * (qr * d.re - qi * d.im)
  }
}
