import { describe, expect, it } from 'vitest'
import { type CircuitChange, changeSolver } from '../../src/circuit/low-rank.ts'
import { withValues } from '../../src/circuit/netlist.ts'
import { prepareCircuit } from '../../src/circuit/prepare-circuit.ts'
import { type ComplexCurve, responseOf } from '../../src/circuit/response.ts'
import { outsideCircuit } from './outside-netlist.ts'
import { plover } from './read-product.ts'

const frequencyHz = [20, 100, 1000, 10_000, 20_000]
const curve = (of: (omega: number) => [number, number]): ComplexCurve => {
  const pairs = frequencyHz.map((f) => of(2 * Math.PI * f))
  return { re: Float64Array.from(pairs, (p) => p[0]), im: Float64Array.from(pairs, (p) => p[1]) }
}
const expectSame = (a: ComplexCurve, b: ComplexCurve, relative: number) =>
  a.re.forEach((re, i) => {
    expect(Math.hypot(re - b.re[i], a.im[i] - b.im[i]) / Math.hypot(b.re[i], b.im[i])).toBeLessThan(relative)
  })

// A part taken away leaves the difference of nearly equal numbers: with C3 open 140 dB are lost, and 1e-7 is what is left.
describe('changes of the demo product', () => {
  const netlist = prepareCircuit(plover.circuit)
  const { positions } = plover.settings[0]
  const solver = changeSolver({ netlist, positions, frequencyHz })
  const ends = (designator: string) => {
    const { nodes } = netlist.elements.find((e) => e.designator === designator) as { nodes: string[] }
    return { from: nodes[0], to: nodes[1] }
  }
  const direct = (changes: Record<string, number>) =>
    responseOf({ netlist, values: withValues(netlist, changes), positions, frequencyHz })
  const resistor = (designator: string, ohm: number): CircuitChange => {
    const old = netlist.nominal[netlist.index.get(designator) as number]
    return { ...ends(designator), delta: curve(() => [1 / ohm - 1 / old, 0]) }
  }
  const capacitor = (designator: string, farad: number): CircuitChange => {
    const old = netlist.nominal[netlist.index.get(designator) as number]
    return { ...ends(designator), delta: curve((w) => [0, w * (farad - old)]) }
  }

  it.each(['R3', 'R4', 'R5', 'R6', 'R7', 'R9', 'R12'])(
    '%s open, short and ten times over agree with a new solve',
    (name) => {
      const old = netlist.nominal[netlist.index.get(name) as number]
      for (const ohm of [1e9, 0.01, old * 10])
        expectSame(solver.withChanges([resistor(name, ohm)]), direct({ [name]: ohm }), 1e-7)
    },
  )
  it.each(['C3', 'C7', 'C9', 'C10'])('%s gone or a hundred times over agrees with a new solve', (name) => {
    const old = netlist.nominal[netlist.index.get(name) as number]
    for (const farad of [1e-15, old * 100])
      expectSame(solver.withChanges([capacitor(name, farad)]), direct({ [name]: farad }), 1e-7)
  })
  it('four changes at once agree with a new solve', () => {
    const changes = [resistor('R5', 22e3), capacitor('C9', 1e-8), resistor('R9', 1e4), capacitor('C3', 1e-8)]
    expectSame(solver.withChanges(changes), direct({ R5: 22e3, C9: 1e-8, R9: 1e4, C3: 1e-8 }), 1e-8)
  })
  it('a bridge between two nodes that nothing joined agrees with a circuit that has it', () => {
    const bridged = prepareCircuit({
      ...plover.circuit,
      elements: [
        ...plover.circuit.elements,
        { kind: 'resistor', designator: 'R99', nodes: ['gain', 'sum'], value: 50, place: 'board' },
      ],
    })
    const expected = responseOf({
      netlist: bridged,
      positions,
      frequencyHz,
      values: withValues(bridged, { 'D1.conductance': netlist.nominal[netlist.index.get('D1.conductance') as number] }),
    })
    expectSame(solver.withChanges([{ from: 'gain', to: 'sum', delta: curve(() => [1 / 50, 0]) }]), expected, 1e-9)
  })
  it('a dead op-amp is a change of its transconductance', () => {
    const [gain, gbw, out] = ['openLoopGain', 'gainBandwidth', 'outputResistance'].map(
      (k) => netlist.nominal[netlist.index.get(`U1B.${k}`) as number],
    )
    const delta = curve((w) => {
      const [a, b] = [1 / gain, w / (2 * Math.PI * gbw)]
      const d = a * a + b * b
      // The op-amp sends g·A·(v+ − v−) into its output; taking it away is that current from the output to ground.
      return [a / d / out, -b / d / out]
    })
    const dead = solver.withChanges([{ from: 'tone', to: '0', plus: 'half', minus: 'sum', delta }])
    expectSame(dead, direct({ 'U1B.openLoopGain': 1e-9 }), 1e-6)
  })
  it('no change is no change', () => expectSame(solver.withChanges([]), solver.base, 1e-15))
})

it('a branch at a held node sees the source (RC low-pass with its resistor changed)', () => {
  const netlist = prepareCircuit(outsideCircuit('rc_lowpass'))
  const solver = changeSolver({ netlist, positions: {}, frequencyHz })
  const changed = solver.withChanges([{ from: 'i', to: 'o', delta: curve(() => [1 / 2200 - 1 / 10e3, 0]) }])
  expectSame(
    changed,
    responseOf({ netlist, values: withValues(netlist, { R2: 2200 }), positions: {}, frequencyHz }),
    1e-12,
  )
})

it('current into an ideal output changes nothing', () => {
  const netlist = prepareCircuit(outsideCircuit('sallen_key'))
  const solver = changeSolver({ netlist, positions: {}, frequencyHz })
  expectSame(solver.withChanges([{ from: 'o', to: '0', delta: curve(() => [1, 0]) }]), solver.base, 1e-12)
})
