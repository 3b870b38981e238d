import { compileCircuit } from './compile.ts'
import type { MeasuredGain } from './measured-gain.ts'
import type { Netlist } from './netlist.ts'
import { primitiveSlopes } from './primitive.ts'
import { angular } from './response.ts'
import { responseGradient } from './sensitivity.ts'

const dbPerNeper = 20 / Math.LN10

/**
 * One measured curve made ready for a fit.
 *
 * @param places the parameters that are fitted, by their place in the value vector
 * @returns `points` on the curve, and `evaluate`, which writes residuals (in standard uncertainties) and derivatives to
 *   ln(value) from row `at` on; the last column is the level's, where there is one more than places
 */
export const fitCurve = (netlist: Netlist, base: Float64Array, measured: MeasuredGain, places: readonly number[]) => {
  const circuit = compileCircuit(netlist, { values: base })
  const { primitives: rules } = circuit.equations.list
  const shares = circuit.shares(measured.positions)
  const omega = angular(measured.frequencyHz)
  const weight = omega.map(
    (_, i) => 1 / (typeof measured.uncertaintyDb === 'number' ? measured.uncertaintyDb : measured.uncertaintyDb[i]),
  )
  const wanted = new Set(
    rules.flatMap((r, slot) => (places.includes(r.parameter) || places.includes(r.end) ? [slot] : [])),
  )
  const table = new Float64Array(rules.length)
  const evaluate = (
    values: Float64Array,
    level: number,
    residuals: Float64Array,
    jacobian: Float64Array[],
    at: number,
  ) => {
    const { re, im, byPrimitive } = responseGradient(circuit, circuit.primitives(values, shares, table), omega, wanted)
    const inversePower = re.map((x, i) => 1 / (x * x + im[i] * im[i]))
    for (let i = 0; i < omega.length; i++) {
      const gainDb = -10 * Math.log10(inversePower[i])
      residuals[at + i] = (gainDb + level - measured.gainDb[i]) * weight[i]
      if (jacobian.length > places.length) jacobian[places.length][at + i] = weight[i]
    }
    for (const slot of wanted)
      for (const { parameter, slope } of primitiveSlopes(rules[slot], values, shares[slot])) {
        const column = places.indexOf(parameter)
        if (column < 0) continue
        const by = byPrimitive[slot]
        for (let i = 0; i < omega.length; i++)
          jacobian[column][at + i] +=
            slope * dbPerNeper * weight[i] * (by[2 * i] * re[i] + by[2 * i + 1] * im[i]) * inversePower[i]
      }
  }
  return { points: omega.length, evaluate }
}
