import { describe, expect, it } from 'vitest'
import { withValues } from '../../src/circuit/netlist.ts'
import { prepareCircuit } from '../../src/circuit/prepare-circuit.ts'
import { gainDbOf, phaseDegOf, responseOf } from '../../src/circuit/response.ts'
import { sensitivityOf } from '../../src/circuit/sensitivity.ts'
import type { Circuit } from '../../src/model/circuit.ts'
import { outsideCircuit } from './outside-netlist.ts'
import { plover } from './read-product.ts'

const frequencyHz = [20, 100, 1000, 5000, 20_000]

/** Central difference in ln(value); its error is of order h², 1e-8 here. */
const byDifference = (circuit: Circuit, name: string, positions: Record<string, number>) => {
  const netlist = prepareCircuit(circuit)
  const h = 1e-4
  const at = (factor: number) => {
    const values = withValues(netlist, { [name]: netlist.nominal[netlist.index.get(name) as number] * factor })
    const curve = responseOf({ netlist, values, positions, frequencyHz })
    return { gain: gainDbOf(curve), phase: phaseDegOf(curve) }
  }
  const [up, down] = [at(Math.exp(h)), at(Math.exp(-h))]
  return {
    gain: up.gain.map((x, i) => (x - down.gain[i]) / (2 * h)),
    phase: up.phase.map((x, i) => (x - down.phase[i]) / (2 * h)),
  }
}

describe('sensitivity by the adjoint network', () => {
  it.each([
    ['the demo product', plover.circuit, { bass: 1, treble: 1 }],
    ['the demo product at centre', plover.circuit, { bass: 0.5, treble: 0.5 }],
    ['a pickup with its load', outsideCircuit('pickup_passive_wiring'), {}],
    ['a stage with a one-pole op-amp', outsideCircuit('noninverting_11'), {}],
  ] as const)('agrees with differences for every value of %s', (_, circuit, positions) => {
    const netlist = prepareCircuit(circuit)
    const { gainDb, phaseDeg } = sensitivityOf({ netlist, positions, frequencyHz })
    netlist.parameters.forEach(({ name, nominal }, p) => {
      if (!(nominal > 0) || !Number.isFinite(nominal)) return
      const expected = byDifference(circuit, name, positions)
      expected.gain.forEach((x, i) => {
        expect(Math.abs(gainDb[p][i] - x)).toBeLessThan(2e-6 * (1 + Math.abs(x)))
        expect(Math.abs(phaseDeg[p][i] - expected.phase[i])).toBeLessThan(2e-5 * (1 + Math.abs(expected.phase[i])))
      })
    })
  })

  it('sums to zero over all impedances: a network scaled as a whole has the same voltage response', () => {
    // Resistors ×k, capacitors ÷k leave a passive divider as it is (impedance scaling, textbook).
    const netlist = prepareCircuit(outsideCircuit('twin_t'))
    const { gainDb } = sensitivityOf({ netlist, positions: {}, frequencyHz })
    frequencyHz.forEach((_, i) => {
      const sum = netlist.parameters.reduce(
        (s, { kind, dimension }, p) =>
          kind !== 'value'
            ? s
            : s + (dimension === 'resistance' ? 1 : dimension === 'capacitance' ? -1 : 0) * gainDb[p][i],
        0,
      )
      expect(Math.abs(sum)).toBeLessThan(1e-9)
    })
  })
})
