import { describe, expect, it } from 'vitest'
import { inputImpedanceOf, outputImpedanceOf } from '../../src/circuit/impedance.ts'
import { prepareCircuit } from '../../src/circuit/prepare-circuit.ts'
import type { Circuit } from '../../src/model/circuit.ts'
import { plover } from './read-product.ts'

const divider: Circuit = {
  output: 'o',
  ground: '0',
  elements: [
    {
      kind: 'source',
      designator: 'V1',
      nodes: ['i', '0'],
      role: 'signal',
      value: 0,
      seriesResistance: 100,
      place: 'rig',
    },
    { kind: 'resistor', designator: 'R1', nodes: ['i', 'o'], value: 900, place: 'board' },
    { kind: 'resistor', designator: 'R2', nodes: ['o', '0'], value: 1000, place: 'board' },
    { kind: 'capacitor', designator: 'C1', nodes: ['o', '0'], value: 1e-6, dielectric: 'film', place: 'board' },
    { kind: 'resistor', designator: 'R9', nodes: ['o', '0'], value: 50, place: 'rig' },
  ],
}

describe('impedances', () => {
  it('of a divider are series and parallel connections (Ohm)', () => {
    const netlist = prepareCircuit(divider)
    const out = outputImpedanceOf({ netlist, positions: {}, frequencyHz: [1000] })
    // 1000 || 1000 || C, the rig's 50 ohm taken off.
    const [g, b] = [2e-3, 2 * Math.PI * 1000 * 1e-6]
    expect(out.re[0]).toBeCloseTo(g / (g * g + b * b), 8)
    expect(out.im[0]).toBeCloseTo(-b / (g * g + b * b), 8)
    const inp = inputImpedanceOf({ netlist, positions: {}, frequencyHz: [1e-6] })
    expect(inp.re[0]).toBeCloseTo(900 + 1 / (1 / 1000 + 1 / 50), 8)
  })
  it('of the demo product are those of its parts: 1 MΩ bias in, 470 Ω stop resistor out', () => {
    const netlist = prepareCircuit(plover.circuit)
    const positions = { bass: 0.5, treble: 0.5 }
    const inp = inputImpedanceOf({ netlist, positions, frequencyHz: [50, 300] })
    expect(Math.hypot(inp.re[1], inp.im[1])).toBeGreaterThan(0.9e6)
    expect(Math.hypot(inp.re[1], inp.im[1])).toBeLessThan(1.02e6)
    const out = outputImpedanceOf({ netlist, positions, frequencyHz: [1000] })
    expect(Math.hypot(out.re[0], out.im[0])).toBeGreaterThan(460)
    expect(Math.hypot(out.re[0], out.im[0])).toBeLessThan(490)
  })
})
