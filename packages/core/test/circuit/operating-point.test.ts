import { describe, expect, it } from 'vitest'
import { drawBoard } from '../../src/circuit/draw-board.ts'
import type { Fault } from '../../src/circuit/fault.ts'
import { operatingPointOf } from '../../src/circuit/operating-point.ts'
import { prepareCircuit } from '../../src/circuit/prepare-circuit.ts'
import type { Circuit, CircuitElement } from '../../src/model/circuit.ts'
import { plover } from './read-product.ts'

const positions = { bass: 1, treble: 1 }
const supply = (value: number, seriesResistance = 0): CircuitElement => ({
  kind: 'source',
  designator: 'BT1',
  nodes: ['p', '0'],
  role: 'supply',
  value,
  seriesResistance,
  place: 'rig',
})
const signal: CircuitElement = {
  kind: 'source',
  designator: 'V1',
  nodes: ['i', '0'],
  role: 'signal',
  value: 0,
  seriesResistance: 0,
  place: 'rig',
}
const resistor = (designator: string, a: string, b: string, value: number): CircuitElement => ({
  kind: 'resistor',
  designator,
  nodes: [a, b],
  value,
  place: 'board',
})
const circuitOf = (elements: CircuitElement[], output = 'o'): Circuit => ({
  output,
  ground: '0',
  elements: [signal, ...elements],
})

describe('resting voltages and currents', () => {
  it('of a half-supply divider (05-O15): half the supply, 95.745 µA', () => {
    const circuit = circuitOf([
      supply(9),
      resistor('R1', 'p', 'o', 47e3),
      resistor('R2', 'o', '0', 47e3),
      { kind: 'capacitor', designator: 'C1', nodes: ['o', 'i'], value: 1e-5, dielectric: 'film', place: 'board' },
    ])
    const { nodeV, supplyCurrentA, settled } = operatingPointOf({ netlist: prepareCircuit(circuit), positions: {} })
    expect(settled).toBe(true)
    expect(nodeV.o).toBeCloseTo(4.5, 6)
    expect(supplyCurrentA.BT1 * 1e6).toBeCloseTo(95.744680851, 5)
  })
  it('of a diode solve its own equation (Shockley)', () => {
    const circuit = circuitOf([
      supply(9),
      resistor('R1', 'p', 'a', 10e3),
      { kind: 'diode', designator: 'D1', nodes: ['a', '0'], saturationCurrent: 2.5e-9, idealityFactor: 1.8 },
      resistor('R2', 'a', 'o', 1e9),
      resistor('R3', 'o', 'i', 1e9),
    ])
    const { nodeV } = operatingPointOf({ netlist: prepareCircuit(circuit), positions: {} })
    const thermal = (1.380649e-23 * 300) / 1.602176634e-19
    const current = 2.5e-9 * (Math.exp(nodeV.a / (1.8 * thermal)) - 1)
    expect(Math.abs(current / ((9 - nodeV.a) / 10e3) - 1)).toBeLessThan(1e-5)
    expect(nodeV.a).toBeGreaterThan(0.5)
  })
  it('of a zener hold its breakdown voltage plus the drop over its dynamic resistance', () => {
    const circuit = circuitOf([
      supply(9),
      resistor('R1', 'p', 'a', 470),
      { kind: 'zener', designator: 'D1', nodes: ['0', 'a'], breakdown: '5V1', dynamicResistance: 10 },
      resistor('R2', 'a', 'o', 1e6),
      resistor('R3', 'o', 'i', 1e6),
    ])
    const { nodeV } = operatingPointOf({ netlist: prepareCircuit(circuit), positions: {} })
    expect(nodeV.a).toBeCloseTo(5.1 + (10 * (9 - 5.1)) / 480, 2)
  })
})

describe('the demo product', () => {
  const netlist = prepareCircuit(plover.circuit)
  it('rests with both outputs near half supply behind the diode', () => {
    const { nodeV, supplyCurrentA, amplifiers, settled } = operatingPointOf({ netlist, positions })
    expect(settled).toBe(true)
    expect(nodeV.vcc).toBeGreaterThan(8.3)
    expect(nodeV.vcc).toBeLessThan(8.6)
    expect(nodeV.half / nodeV.vcc).toBeCloseTo(0.4977, 2)
    expect(amplifiers.map((a) => a.saturated)).toEqual([false, false])
    // Two sections of 0.2 mA, the divider's 8.43 V / 94 kΩ, and what leaks through C1 (2 MΩ).
    expect(supplyCurrentA.BT1 * 1e3).toBeCloseTo(0.4 + 0.0897 + 0.0042, 2)
  })
  it('is in balance: what the supply gives is what the parts take', () => {
    const { nodeV, supplyCurrentA } = operatingPointOf({ netlist, positions })
    expect((9 - nodeV.battery) / 1.5).toBeCloseTo(supplyCurrentA.BT1, 7)
  })
  it.each([
    [{ kind: 'open', designator: 'R1' }, 'low'],
    [{ kind: 'open', designator: 'R2' }, 'high'],
    [{ kind: 'short', designator: 'C2' }, 'low'],
  ] as [Fault, string][])('sticks at a rail with %j', (fault, rail) => {
    const board = drawBoard({ product: plover, seed: 3, faults: [fault] })
    const { amplifiers, values } = operatingPointOf({ netlist: board.netlist, values: board.values, positions })
    for (const { outputV, saturated, lowV, highV } of amplifiers) {
      expect(saturated).toBe(true)
      expect(Math.abs(outputV - (rail === 'low' ? lowV : highV))).toBeLessThan(0.05)
    }
    expect(values[board.netlist.index.get('U1A.openLoopGain') as number]).toBeLessThan(1e-6)
  })
  it('comes to rest with any part open or short', () => {
    for (const { designator, kind } of plover.circuit.elements)
      for (const fault of ['open', 'short'] as const) {
        if (kind === 'op-amp' && fault === 'short') continue
        const board = drawBoard({ product: plover, seed: 4, faults: [{ kind: fault, designator }] })
        const { settled } = operatingPointOf({ netlist: board.netlist, values: board.values, positions })
        expect(settled, `${designator} ${fault}`).toBe(true)
      }
  })
})
