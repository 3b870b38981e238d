import type { CompiledCircuit } from './compile.ts'
import type { Equations, Place, Term } from './equations.ts'
import type { MeasuredGain } from './measured-gain.ts'
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
export const fitCurve = (circuit: CompiledCircuit, measured: MeasuredGain, places: readonly number[]) => {
  const { positions, frequencyHz, gainDb, uncertaintyDb } = measured
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

const known = new WeakMap<Equations, Map<string, Share[]>>()

/** The shares of the parameters at `places`; worked out once, since every board is fitted by the same parameters. */
const sharesOf = (equations: Equations, places: readonly number[]): Share[] => {
  const kept = known.get(equations) ?? new Map<string, Share[]>()
  known.set(equations, kept)
  const key = places.join(' ')
  const found = kept.get(key)
  if (found) return found
  const { terms, places: termPlaces, list } = equations
  const made = terms.flatMap((term, t) =>
    [...new Set(term.slots)].flatMap((slot) => {
      if (slot < 0) return []
      const { parameter, end } = list.primitives[slot]
      return places.flatMap((place, column) =>
        place === parameter || place === end ? [{ column, slot, term, place: termPlaces[t] }] : [],
      )
    }),
  )
  kept.set(key, made)
  return made
}

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
  // Where there is no node the loop reads the first one and makes nothing of it: no branch is left in it.
  const [hasFrom, hasTo, hasPlus, hasMinus] = [from, to, plus, minus].map((node) => (node < 0 ? 0 : 1))
  const [fromAt, toAt] = [from, to].map((node) => half + 2 * Math.max(0, node))
  const [plusAt, minusAt] = [plus, minus].map((node) => 2 * Math.max(0, node))
  const { form } = term
  for (let i = 0, o = 0; i < omega.length; i++, o += stride) {
    const ar = hasFrom * records[o + fromAt] - hasTo * records[o + toAt]
    const ai = hasFrom * records[o + fromAt + 1] - hasTo * records[o + toAt + 1]
    const vr = heldV + hasPlus * records[o + plusAt] - hasMinus * records[o + minusAt]
    const vi = hasPlus * records[o + plusAt + 1] - hasMinus * records[o + minusAt + 1]
    const pr = ai * vi - ar * vr
    const pi = -ar * vi - ai * vr
    const cr = conjugate[2 * i]
    const ci = conjugate[2 * i + 1]
    const qr = pr * cr - pi * ci
    const qi = pr * ci + pi * cr
    if (form === 'conductance') into[at + i] += slope * qr
    else if (form === 'capacitance') into[at + i] -= slope * omega[i] * qi
    else
      for (const d of termSlopes(term, table, omega[i]))
        if (d.slot === slot) into[at + i] += slope * (qr * d.re - qi * d.im)
  }
}
