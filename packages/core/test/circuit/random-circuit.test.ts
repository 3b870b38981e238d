import fc from 'fast-check'
import { type Complex, complex, lusolve } from 'mathjs'
import { expect, it } from 'vitest'
import { prepareCircuit } from '../../src/circuit/prepare-circuit.ts'
import { responseOf } from '../../src/circuit/response.ts'
import type { Circuit, CircuitElement } from '../../src/model/circuit.ts'

type Two = { a: number; b: number; kind: 'R' | 'C' | 'L'; decade: number; digit: number }
type Amp = { plus: number; minus: number; out: number }

const nodeName = (i: number) => (i === 0 ? '0' : `n${i}`)
const siValue = ({ kind, decade, digit }: Two) =>
  kind === 'R' ? digit * 10 ** (2 + decade) : kind === 'C' ? digit * 10 ** (-10 + decade) : digit * 10 ** (-3 + decade)

/** Six nodes with a tree of resistors, so that everything hangs together, and random parts across it. */
const circuits = fc.record({
  tree: fc.array(fc.nat(100), { minLength: 5, maxLength: 5 }),
  parts: fc.array(
    fc.record({
      a: fc.nat(6),
      b: fc.nat(6),
      kind: fc.constantFrom('R' as const, 'C' as const, 'L' as const),
      decade: fc.nat(3),
      digit: fc.integer({ min: 1, max: 9 }),
    }),
    { minLength: 4, maxLength: 12 },
  ),
  amps: fc.array(fc.record({ plus: fc.nat(6), minus: fc.nat(6), out: fc.integer({ min: 2, max: 6 }) }), {
    maxLength: 2,
  }),
  frequencyHz: fc.constantFrom(20, 440, 5000, 20_000),
})

/** The same circuit by full modified nodal analysis in mathjs: branch currents for the source and each op-amp. */
const byMathjs = (parts: Two[], amps: Amp[], frequencyHz: number): Complex => {
  const nodes = 6
  const size = nodes + 1 + amps.length
  const matrix = Array.from({ length: size }, () => Array.from({ length: size }, () => complex(0, 0)))
  const right = Array.from({ length: size }, () => complex(0, 0))
  const put = (row: number, column: number, x: Complex) => {
    if (row >= 0 && column >= 0)
      matrix[row][column] = complex(matrix[row][column].re + x.re, matrix[row][column].im + x.im)
  }
  const omega = 2 * Math.PI * frequencyHz
  for (const part of parts) {
    const value = siValue(part)
    const y =
      part.kind === 'R'
        ? complex(1 / value, 0)
        : part.kind === 'C'
          ? complex(0, omega * value)
          : complex(0, -1 / (omega * value))
    const minus = complex(-y.re, -y.im)
    const [a, b] = [part.a - 1, part.b - 1]
    put(a, a, y)
    put(b, b, y)
    put(a, b, minus)
    put(b, a, minus)
  }
  // The source holds node 1.
  put(0, nodes, complex(1, 0))
  put(nodes, 0, complex(1, 0))
  right[nodes] = complex(1, 0)
  amps.forEach(({ plus, minus, out }, k) => {
    const row = nodes + 1 + k
    put(out - 1, row, complex(1, 0))
    put(row, out - 1, complex(1, 0))
    // v(out) + 100 Ω · i = A (v+ − v−), A = 1/(1e-5 + jf/1 MHz); i flows out of the node into the op-amp.
    put(row, row, complex(-100, 0))
    const d = 1e-10 + (frequencyHz / 1e6) ** 2
    const gain = complex(1e-5 / d, -(frequencyHz / 1e6) / d)
    put(row, plus - 1, complex(-gain.re, -gain.im))
    put(row, minus - 1, gain)
  })
  const solution = lusolve(
    matrix,
    right.map((x) => [x]),
  ) as Complex[][]
  return complex(solution[5][0] as never)
}

it('agrees with mathjs LU on random circuits', () => {
  fc.assert(
    fc.property(circuits, ({ tree, parts, amps, frequencyHz }) => {
      const twos: Two[] = [
        ...tree.map((t, i): Two => ({ a: i + 2, b: t % (i + 2), kind: 'R', decade: 1, digit: 1 + (t % 9) })),
        ...parts.filter((p) => p.a !== p.b),
      ]
      const used = amps.filter((x, i) => x.plus !== x.minus && amps.findIndex((y) => y.out === x.out) === i)
      const nodesOf = new Set(twos.flatMap((p) => [p.a, p.b]))
      fc.pre(nodesOf.has(0) && nodesOf.has(1))
      const circuit: Circuit = {
        output: 'n6',
        ground: '0',
        elements: [
          {
            kind: 'source',
            designator: 'V1',
            nodes: ['n1', '0'],
            role: 'signal',
            value: 0,
            seriesResistance: 0,
            place: 'rig',
          },
          // Loads at every node, so that no leg ends in the air.
          ...[...twos, ...loads].map((p, i) => element(p, i + 1)),
          ...used.map((x, i) => amplifier(x, i + 1)),
        ],
      }
      const expected = byMathjs([...twos, ...loads], used, frequencyHz)
      const { re, im } = responseOf({ netlist: prepareCircuit(circuit), positions: {}, frequencyHz: [frequencyHz] })
      // Positive feedback and resonances make some of these circuits ill-conditioned: the error is taken against 1 V too.
      const error = Math.hypot(re[0] - expected.re, im[0] - expected.im)
      expect(error / (1e-6 + Math.hypot(expected.re, expected.im))).toBeLessThan(1e-7)
    }),
    { numRuns: 300 },
  )
})

const loads: Two[] = Array.from({ length: 5 }, (_, i) => ({ a: i + 2, b: 0, kind: 'R', decade: 3, digit: 5 }))

const element = (part: Two, number: number): CircuitElement => {
  const nodes: [string, string] = [nodeName(part.a), nodeName(part.b)]
  const value = siValue(part)
  if (part.kind === 'R') return { kind: 'resistor', designator: `R${number}`, nodes, value, place: 'board' }
  if (part.kind === 'C')
    return { kind: 'capacitor', designator: `C${number}`, nodes, value, dielectric: 'film', place: 'board' }
  return { kind: 'inductor', designator: `L${number}`, nodes, value, place: 'board' }
}

const amplifier = ({ plus, minus, out }: Amp, number: number): CircuitElement => ({
  kind: 'op-amp',
  designator: `U${number}`,
  nodes: [nodeName(plus), nodeName(minus), nodeName(out)],
  supplyNodes: ['0', '0'],
  openLoopGainDb: 100,
  gainBandwidth: 1e6,
  inputResistance: 1e18,
  inputCapacitance: 0,
  outputResistance: 100,
  noiseVoltage: 0,
  noiseCurrent: 0,
  slewRate: 1e6,
  headroomHighV: 0,
  headroomLowV: 0,
  supplyCurrent: 1e-3,
  gainBandwidthTolerance: 0,
})
