import type { CompiledCircuit } from './compile.ts'

/** Stamps of a term, flattened: row, column, factor in turn. */
const stampPlans = new WeakMap<CompiledCircuit, Float64Array[]>()

const stampsOf = (circuit: CompiledCircuit): Float64Array[] => {
  const kept = stampPlans.get(circuit)
  if (kept) return kept
  const { terms, stamps } = circuit.equations
  const plan = terms.map((_, t) =>
    Float64Array.from(stamps.filter((s) => s.term === t).flatMap((s) => [s.row, s.column, s.factor])),
  )
  stampPlans.set(circuit, plan)
  return plan
}

/**
 * Change of a tap's voltage per unit of each wanted number of the table of primitives.
 *
 * The same as `responseGradient`, for any tap and without objects in the loop: diagnosis asks for it some hundred times a
 * board.
 *
 * @param options `voltages` and `adjoint` as `solveWithBranches` gives them; `wanted[slot]` 1 for the slots to be worked out
 * @returns for each slot (real, imaginary) per frequency; unwanted ones are empty
 * Source: adjoint network method, S. W. Director and R. A. Rohrer, IEEE Trans. Circuit Theory 16 (1969).
 */
export const slopesByPrimitive = (options: {
  circuit: CompiledCircuit
  primitives: Float64Array
  omega: Float64Array
  voltages: Float64Array
  adjoint: Float64Array
  /** Numbers per frequency in `voltages` and `adjoint`, and where in a record each begins. */
  stride: number
  adjointOffset: number
  wanted: Uint8Array
}): Float64Array[] => {
  const { circuit, primitives, omega, voltages, adjoint, stride, adjointOffset, wanted } = options
  const n = omega.length
  const slopes = Array.from(primitives, (_, q) => new Float64Array(wanted[q] ? 2 * n : 0))
  const plan = stampsOf(circuit)
  circuit.equations.terms.forEach(({ form, slots }, t) => {
    if (!slots.some((s) => s >= 0 && wanted[s])) return
    const stamps = plan[t]
    const one = termSlope[form]
    for (let i = 0; i < n; i++) {
      let re = 0
      let im = 0
      const va = i * stride
      const aa = va + adjointOffset
      for (let k = 0; k < stamps.length; k += 3) {
        const a = aa + 2 * stamps[k]
        const column = stamps[k + 1]
        const factor = stamps[k + 2]
        // On the right-hand side a term acts with the opposite sign, on a "voltage" of −1.
        const vr = column < 0 ? -1 : voltages[va + 2 * column]
        const vi = column < 0 ? 0 : voltages[va + 2 * column + 1]
        re -= factor * (adjoint[a] * vr - adjoint[a + 1] * vi)
        im -= factor * (adjoint[a] * vi + adjoint[a + 1] * vr)
      }
      one(slopes, slots, primitives, omega[i], re, im, 2 * i)
    }
  })
  return slopes
}

type TermSlope = (
  slopes: Float64Array[],
  slots: number[],
  p: Float64Array,
  omega: number,
  re: number,
  im: number,
  at: number,
) => void

/** Adds (re + j im)(dr + j di) to a slot; an empty one takes nothing. */
const addTo = (slope: Float64Array, at: number, re: number, im: number, dr: number, di: number) => {
  if (slope.length === 0) return
  slope[at] += re * dr - im * di
  slope[at + 1] += re * di + im * dr
}

/** 1/((g + jωτ)(1 + jωτ2)) and its factors' slopes, for an op-amp whose numbers stand from `first` on. */
const amplifier =
  (first: number): TermSlope =>
  (slopes, slots, p, w, re, im, at) => {
    const [gain, tau, second] = [slots[first], slots[first + 1], slots[first + 2]]
    const g = p[gain]
    const x = w * p[tau]
    const y = second < 0 ? 0 : w * p[second]
    // D = (g + jx)(1 + jy)
    const dr = g - x * y
    const di = x + g * y
    let or = 1
    let oi = 0
    if (first === 1) {
      // −gOut / D², and the slope to gOut itself, 1/D
      const d = dr * dr + di * di
      const ir = dr / d
      const ii = -di / d
      addTo(slopes[slots[0]], at, re, im, ir, ii)
      or = -p[slots[0]] * (ir * ir - ii * ii)
      oi = -p[slots[0]] * 2 * ir * ii
    }
    addTo(slopes[gain], at, re, im, or - oi * y, oi + or * y)
    // times jω(1 + jy)
    addTo(slopes[tau], at, re, im, w * (-or * y - oi), w * (or - oi * y))
    if (second >= 0) addTo(slopes[second], at, re, im, w * (-or * x - oi * g), w * (or * g - oi * x))
  }

const termSlope: Record<CompiledCircuit['equations']['terms'][number]['form'], TermSlope> = {
  one: () => {},
  conductance: (slopes, slots, _p, _w, re, im, at) => addTo(slopes[slots[0]], at, re, im, 1, 0),
  capacitance: (slopes, slots, _p, w, re, im, at) => addTo(slopes[slots[0]], at, re, im, 0, w),
  'series-rl': (slopes, slots, p, w, re, im, at) => {
    const r = p[slots[1]]
    const x = w * p[slots[0]]
    const d = r * r + x * x
    const yr = r / d
    const yi = -x / d
    const sr = -(yr * yr - yi * yi)
    const si = -2 * yr * yi
    addTo(slopes[slots[0]], at, re, im, -w * si, w * sr)
    addTo(slopes[slots[1]], at, re, im, sr, si)
  },
  'series-rc': (slopes, slots, p, w, re, im, at) => {
    // y = jx/(1 + jxr), x = ωc: dy/dc = jω/(1 + jxr)², dy/dr = −y²
    const x = w * p[slots[0]]
    const k = x * p[slots[1]]
    const d = 1 + k * k
    const ir = 1 / d
    const ii = -k / d
    const sr = ir * ir - ii * ii
    const si = 2 * ir * ii
    addTo(slopes[slots[0]], at, re, im, -w * si, w * sr)
    addTo(slopes[slots[1]], at, re, im, x * x * sr, x * x * si)
  },
  transconductance: amplifier(1),
  'inverse-gain': amplifier(0),
}
