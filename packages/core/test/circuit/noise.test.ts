import { describe, expect, it } from 'vitest'
import { outputNoiseOf } from '../../src/circuit/noise.ts'
import { aWeighting, noiseLevelV } from '../../src/circuit/noise-level.ts'
import { prepareCircuit } from '../../src/circuit/prepare-circuit.ts'
import type { Circuit, CircuitElement } from '../../src/model/circuit.ts'
import { idealAmplifier } from './outside-netlist.ts'
import { plover } from './read-product.ts'

const grid = (fromHz: number, toHz: number, points = 400) =>
  Array.from({ length: points + 1 }, (_, i) => fromHz * (toHz / fromHz) ** (i / points))
const source: CircuitElement = {
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

describe('thermal noise', () => {
  it.each([
    [100, 1.2871591976e-9],
    [10e3, 12.871591976e-9],
    [250e3, 64.357959881e-9],
    [1e6, 128.71591976e-9],
  ])('%s ohm at 300 K (05-O13, Johnson-Nyquist)', (ohm, density) => {
    const circuit: Circuit = {
      output: 'o',
      ground: '0',
      elements: [source, resistor('R1', 'i', 'o', ohm), resistor('R2', 'o', '0', 1e15)],
    }
    const noise = outputNoiseOf({
      netlist: prepareCircuit(circuit),
      positions: {},
      frequencyHz: [1000],
      temperatureK: 300,
    })
    expect(Math.abs(noise.density[0] / density - 1)).toBeLessThan(1e-9)
  })
  it.each([
    [290, 1.7897222354e-6],
    [293.15, 1.799416026e-6],
    [300, 1.8203179942e-6],
  ])('10 kΩ over 20 kHz at %s K (05-O13)', (temperatureK, volts) => {
    const circuit: Circuit = {
      output: 'o',
      ground: '0',
      elements: [source, resistor('R1', 'i', 'o', 1e4), resistor('R2', 'o', '0', 1e16)],
    }
    const noise = outputNoiseOf({
      netlist: prepareCircuit(circuit),
      positions: {},
      frequencyHz: [1e-6, 20e3],
      temperatureK,
    })
    expect(Math.abs(noiseLevelV(noise.frequencyHz, noise.density) / volts - 1)).toBeLessThan(1e-9)
  })
  it('a capacitor across a resistor leaves kT/C, whatever the resistor (equipartition)', () => {
    const c = 1e-9
    for (const ohm of [1e3, 1e5]) {
      const circuit: Circuit = {
        output: 'o',
        ground: '0',
        elements: [
          source,
          resistor('R1', 'i', 'o', ohm),
          { kind: 'capacitor', designator: 'C1', nodes: ['o', '0'], value: c, dielectric: 'film', place: 'board' },
        ],
      }
      const noise = outputNoiseOf({
        netlist: prepareCircuit(circuit),
        positions: {},
        frequencyHz: grid(1e-2, 1e10, 3000),
      })
      // The grid ends at 1e10 Hz, where 1e-4 of the power is left at most; the power law between points adds 1e-5.
      expect(
        Math.abs(noiseLevelV(noise.frequencyHz, noise.density) / Math.sqrt((1.380649e-23 * 300) / c) - 1),
      ).toBeLessThan(1e-4)
    }
  })
})

describe('op-amp noise', () => {
  it('sums as the handbook example 05-O14', () => {
    const circuit: Circuit = {
      output: 'o',
      ground: '0',
      elements: [
        source,
        resistor('R1', 'i', 'p', 10e3),
        resistor('R2', 'o', 'm', 10e3),
        resistor('R3', 'm', '0', 10e3),
        {
          ...(idealAmplifier('U1', ['p', 'm', 'o'], 200, 1e15) as Extract<CircuitElement, { kind: 'op-amp' }>),
          noiseVoltage: 8e-9,
          noiseCurrent: 6e-13,
        },
      ],
    }
    const netlist = prepareCircuit(circuit)
    const noise = outputNoiseOf({ netlist, positions: {}, frequencyHz: [1000], temperatureK: 298.15 })
    // Referred to the input: gain 2.
    expect(Math.abs(noise.density[0] / 2 / 18.8675462e-9 - 1)).toBeLessThan(1e-8)
    const part = (designator: string, cause: string) =>
      (noise.contributions.find((c) => c.designator === designator && c.cause === cause)?.density[0] ?? 0) / 2
    expect(part('U1', 'voltage') * 1e9).toBeCloseTo(8, 6)
    expect(part('U1', 'current') * 1e9).toBeCloseTo(Math.hypot(6, 3), 6)
    expect(part('R1', 'thermal') * 1e9).toBeCloseTo(12.831843193, 6)
    expect(Math.hypot(part('R2', 'thermal'), part('R3', 'thermal')) * 1e9).toBeCloseTo(9.0734833372, 6)
  })
})

describe('levels', () => {
  it.each([
    [31.5, -39.4],
    [100, -19.1],
    [1000, 0],
    [8000, -1.1],
    [16000, -6.6],
  ])('A-weighting at %s Hz (IEC 61672-1, table 3, 0.1 dB)', (frequencyHz, db) => {
    // Table values belong to the exact base-ten mid-band frequency.
    const exact = 1000 * 10 ** (Math.round(10 * Math.log10(frequencyHz / 1000)) / 10)
    expect(Math.abs(20 * Math.log10(aWeighting(exact)) - db)).toBeLessThan(0.06)
  })
  it('adds powers: white noise of d over a band B is d·√B', () => {
    const f = grid(20, 20_000, 10)
    expect(
      noiseLevelV(
        f,
        f.map(() => 1e-8),
      ),
    ).toBeCloseTo(1e-8 * Math.sqrt(19_980), 14)
  })
  it('names every resistor of the demo product that makes noise, and the sum is theirs', () => {
    const netlist = prepareCircuit(plover.circuit)
    const noise = outputNoiseOf({ netlist, positions: { bass: 1, treble: 1 }, frequencyHz: grid(20, 20_000, 30) })
    const named = new Set(noise.contributions.map((c) => c.designator))
    for (const name of ['R3', 'R4', 'R5', 'R9', 'P1', 'P2', 'U1A', 'U1B']) expect(named.has(name)).toBe(true)
    expect(named.has('D1')).toBe(false)
    expect(noise.density[5] ** 2).toBeCloseTo(
      noise.contributions.reduce((s, c) => s + c.density[5] ** 2, 0),
      25,
    )
  })
})
