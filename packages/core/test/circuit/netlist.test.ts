import { describe, expect, it } from 'vitest'
import { elementOf, withValues } from '../../src/circuit/netlist.ts'
import { prepareCircuit } from '../../src/circuit/prepare-circuit.ts'
import { nodeResponseOf, responseOf } from '../../src/circuit/response.ts'
import { wiperShare } from '../../src/circuit/taper.ts'
import type { Circuit, CircuitElement } from '../../src/model/circuit.ts'
import { isBoardwrightError } from '../../src/model/error.ts'
import { plover } from './read-product.ts'

const source = (
  designator: string,
  a: string,
  b: string,
  role: 'signal' | 'supply',
  seriesResistance = 0,
): CircuitElement => ({
  kind: 'source',
  designator,
  nodes: [a, b],
  role,
  value: 0,
  seriesResistance,
  place: 'rig',
})
const resistor = (designator: string, a: string, b: string, value: string | number = 1000): CircuitElement => ({
  kind: 'resistor',
  designator,
  nodes: [a, b],
  value,
  place: 'board',
})
const good = [source('V1', 'i', '0', 'signal'), resistor('R1', 'i', 'o'), resistor('R2', 'o', '0')]
const circuitOf = (elements: CircuitElement[], change: Partial<Circuit> = {}): Circuit => ({
  output: 'o',
  ground: '0',
  elements,
  ...change,
})
const refusalOf = (circuit: Circuit): string => {
  try {
    responseOf({ netlist: prepareCircuit(circuit), positions: {}, frequencyHz: [1000] })
  } catch (error) {
    expect(isBoardwrightError(error) && error.code).toBe('bad-circuit')
    return (error as Error).message
  }
  return expect.unreachable() as never
}

describe('bad circuits are refused with the place of the fault', () => {
  it.each([
    [
      'a node that one leg touches',
      circuitOf([...good, resistor('R3', 'o', 'nowhere')]),
      'Node "nowhere" is floating: only R3 touches it.',
    ],
    [
      'an island',
      circuitOf([...good, resistor('R3', 'x', 'y'), resistor('R4', 'x', 'y')]),
      'Nodes "x", "y" are floating: no way to ground.',
    ],
    [
      'no ground',
      circuitOf(good.map((e) => ({ ...e, nodes: e.nodes.map((n) => (n === '0' ? 'gnd' : n)) })) as CircuitElement[]),
      'No part touches the ground node "0".',
    ],
    ['an output that is not there', circuitOf(good, { output: 'out' }), 'No part touches the output node "out".'],
    [
      'two sources in a loop',
      circuitOf([...good, source('BT1', 'i', '0', 'supply')]),
      'The sources V1 and BT1 are in a loop.',
    ],
    ['a designator used twice', circuitOf([...good, resistor('R1', 'i', 'o')]), 'R1 is there twice.'],
    ['both ends at one node', circuitOf([...good, resistor('R3', 'o', 'o')]), 'Both ends of R3 are at node "o".'],
    [
      'a value below zero',
      circuitOf([...good, resistor('R3', 'o', '0', -5)]),
      'R3 has the impossible value -5: it must be above zero.',
    ],
    [
      'a resistor of zero',
      circuitOf([...good, resistor('R3', 'o', '0', '0 ohm')]),
      'R3 has the impossible value 0 ohm: it must be above zero.',
    ],
    [
      'a value of another kind',
      circuitOf([...good, resistor('R3', 'o', '0', '4.7 nF')]),
      'R3: "4.7 nF" is not a resistance.',
    ],
    ['no signal source', circuitOf(good.slice(1)), 'The circuit needs exactly one source with the role "signal".'],
    [
      'an output held by a source',
      circuitOf(good, { output: 'i' }),
      'The output "i" is held by a source: it has no response.',
    ],
    [
      'a source that floats',
      circuitOf([...good, source('BT1', 'a', 'b', 'supply'), resistor('R3', 'a', 'o'), resistor('R4', 'b', 'o')]),
      'The ideal source BT1 floats: neither end is held.',
    ],
  ])('%s', (_, circuit, message) => expect(refusalOf(circuit)).toBe(message))

  it('unknown designators and nodes are named together with those there are', () => {
    const netlist = prepareCircuit(circuitOf(good))
    expect(() => withValues(netlist, { R9: 1 })).toThrow('The circuit has no "R9"; it has V1, R1, R2.')
    expect(() => elementOf(netlist, 'R9')).toThrow('R9')
    expect(() => nodeResponseOf({ netlist, positions: {}, frequencyHz: [1], node: 'x' })).toThrow('it has i, o')
  })
})

describe('what is right', () => {
  it('stacked sources hold each other up', () => {
    const netlist = prepareCircuit(
      circuitOf([
        source('V1', 'i', 'b', 'signal'),
        source('BT1', 'b', '0', 'supply'),
        resistor('R1', 'i', 'o'),
        resistor('R2', 'o', '0'),
      ]),
    )
    expect(responseOf({ netlist, positions: {}, frequencyHz: [1000] }).re[0]).toBeCloseTo(0.5, 12)
  })
  it('any node can be looked at; a held node shows its source', () => {
    const netlist = prepareCircuit(plover.circuit)
    const at = (node: string) =>
      nodeResponseOf({ netlist, positions: plover.settings[0].positions, frequencyHz: [1000], node })
    expect(at('out').re[0]).toBe(
      responseOf({ netlist, positions: plover.settings[0].positions, frequencyHz: [1000] }).re[0],
    )
    expect(Math.hypot(at('gain').re[0], at('gain').im[0])).toBeCloseTo(2, 1)
    expect(at('0').re[0]).toBe(0)
  })
})

describe('tapers', () => {
  it.each(['linear', 'logarithmic', 'reverse-logarithmic'] as const)('%s runs from 0 to 1, always up', (taper) => {
    expect(wiperShare(taper, 0)).toBe(0)
    expect(wiperShare(taper, 1)).toBeCloseTo(1, 14)
    for (let x = 0.05; x <= 1; x += 0.05) expect(wiperShare(taper, x)).toBeGreaterThan(wiperShare(taper, x - 0.05))
  })
  it('a logarithmic track has its share at the middle, a reverse one the rest', () => {
    expect(wiperShare('logarithmic', 0.5, 0.15)).toBeCloseTo(0.15, 14)
    expect(wiperShare('reverse-logarithmic', 0.5, 0.15)).toBeCloseTo(0.85, 14)
    expect(wiperShare('logarithmic', 0.3, 0.5)).toBe(0.3)
  })
})
