import { describe, expect, it } from 'vitest'
import { applyFaults } from '../../src/circuit/apply-fault.ts'
import { operatingPointOf } from '../../src/circuit/operating-point.ts'
import { prepareCircuit } from '../../src/circuit/prepare-circuit.ts'
import { responseOf } from '../../src/circuit/response.ts'
import { hypothesesOf } from '../../src/diagnosis/hypotheses.ts'
import { predict, predictWithSlopes, type Tap } from '../../src/diagnosis/predict.ts'
import { predictNodes } from '../../src/diagnosis/predict-nodes.ts'
import { type PreparedHypothesis, prepareHypothesis } from '../../src/diagnosis/prepare-hypothesis.ts'
import { twinOf } from '../../src/diagnosis/twin.ts'
import type { Product } from '../../src/model/product.ts'
import { plover } from '../circuit/read-product.ts'
import { textbook, textbookNames } from './bench.ts'

const frequencyHz = Array.from({ length: 13 }, (_, i) => 20 * 10 ** (i / 4))
const omega = Float64Array.from(frequencyHz, (f) => 2 * Math.PI * f)

const prepareAll = (product: Product): PreparedHypothesis[] => {
  const twin = twinOf(product.circuit)
  return hypothesesOf(product).hypotheses.map((h) => prepareHypothesis(twin, h))
}

/** Every fifth hypothesis, and the first of each kind: laying out a circuit anew for each takes its time. */
const sampleOf = (all: PreparedHypothesis[]): PreparedHypothesis[] =>
  all.filter((p, i) => i % 5 === 0 || all.findIndex((q) => q.hypothesis.kind === p.hypothesis.kind) === i)

/** The latent numbers at which every value is nominal. */
const nominalState = ({ twin }: PreparedHypothesis) => {
  const latents = new Float64Array(twin.latents.count)
  return { latents, free: 0 }
}

/** Predictions at latent 0 stand at the mean of the tolerance; for a comparison with the drawing the means are taken out. */
const withoutMeans = (prepared: PreparedHypothesis): PreparedHypothesis => ({
  ...prepared,
  twin: {
    ...prepared.twin,
    latents: { ...prepared.twin.latents, spreads: prepared.twin.latents.spreads.map((s) => ({ ...s, mean: 0 })) },
  },
})

describe('what a hypothesis predicts', () => {
  const products = [plover, ...textbookNames().map(textbook)]

  // The other way round: the fault put into the circuit, which is read, laid out and solved anew with its own equations.
  it.each(products.map((p) => [p.id, p] as const))(
    'is what the circuit with the fault in it does: %s',
    (_id, product) => {
      const setting = product.settings[0]
      const tap: Tap = { positions: setting.positions, node: null, omega }
      let compared = 0
      for (const prepared of sampleOf(prepareAll(product)).map(withoutMeans)) {
        const { fault, id } = prepared.hypothesis
        const netlist = prepareCircuit(fault ? applyFaults(product.circuit, [fault]) : product.circuit)
        const { values } = operatingPointOf({ netlist, positions: setting.positions })
        const expected = responseOf({ netlist, values, positions: setting.positions, frequencyHz })
        const found = predict(prepared, nominalState(prepared), tap)
        // A cold joint lies outside a capacitor's leakage in the circuit and inside it here: 300 kohm beside 10 Mohm.
        const relative = prepared.hypothesis.kind === 'cold-joint' ? 0.06 : 1e-3
        for (let i = 0; i < omega.length; i++) {
          const apart = Math.hypot(found.re[i] - expected.re[i], found.im[i] - expected.im[i])
          // Below -100 dB a drawing says nothing of a board.
          expect(apart, `${id} at ${frequencyHz[i]} Hz`).toBeLessThan(
            relative * Math.hypot(expected.re[i], expected.im[i]) + 1e-5,
          )
        }
        compared++
      }
      expect(compared).toBeGreaterThan(40)
    },
  )

  it('has the slopes that small steps give, at the output and at a probed node', () => {
    const chosen = ['healthy', 'cold-joint C8 300', 'bridge', 'reversed P1', 'leaky C5 10000', 'swapped R7 R9']
    const all = prepareAll(plover)
    const { positions } = plover.settings.find((s) => s.name === 'centre')!
    const joins = all.find(
      (p) => p.hypothesis.kind === 'bridge' && [...p.hypothesis.nodes].sort().join() === 'gain,minus',
    )
    for (const id of chosen) {
      const prepared = id === 'bridge' ? joins : all.find((p) => p.hypothesis.id === id)
      expect(prepared, id).toBeDefined()
      for (const node of [null, 'treble-cw']) expectSlopes(prepared!, { positions, node, omega })
    }
  })

  it('says the same of a node whether it is asked alone or with all others', () => {
    const [healthy] = prepareAll(plover)
    const tap: Tap = { positions: plover.settings[0].positions, node: 'sum', omega }
    const alone = predict(healthy, nominalState(healthy), tap)
    const { byNode } = predictNodes(healthy, nominalState(healthy), tap)
    alone.re.forEach((x, i) => {
      // Two orders of the same elimination: rounding only.
      expect(byNode.get('sum')!.re[i]).toBeCloseTo(x, 10)
    })
  })
})

const expectSlopes = (prepared: PreparedHypothesis, tap: Tap) => {
  const state = nominalState(prepared)
  const sloped = predictWithSlopes(prepared, state, tap)
  const step = 1e-3
  const logChange = (change: (s: { latents: Float64Array; free: number }, by: number) => void) => {
    const at = (by: number) => {
      const moved = { latents: state.latents.slice(), free: 0 }
      change(moved, by)
      return predict(prepared, moved, tap)
    }
    const [up, down] = [at(step), at(-step)]
    return Array.from(up.re, (_, i) => {
      const power = (p: typeof up) => Math.log(p.re[i] ** 2 + p.im[i] ** 2) / 2
      return (power(up) - power(down)) / (2 * step)
    })
  }
  sloped.latents.forEach((column, l) => {
    const expected = logChange((s, by) => {
      s.latents[l] += by
    })
    expected.forEach((x, i) => {
      // A central difference of 1e-3 leaves an error of 1e-6; the contacts' milliohms cost half the digits of a double.
      const apart = Math.abs((column.length ? column[2 * i] : 0) - x)
      expect(apart, `${prepared.hypothesis.id} latent ${l}`).toBeLessThan(1e-3 * Math.abs(x) + 1e-4)
    })
  })
  if (!prepared.hypothesis.free) return
  logChange((s, by) => {
    s.free += by
  }).forEach((x, i) => {
    expect(Math.abs(sloped.free![2 * i] - x), `${prepared.hypothesis.id} size`).toBeLessThan(1e-3 * Math.abs(x) + 1e-4)
  })
}
