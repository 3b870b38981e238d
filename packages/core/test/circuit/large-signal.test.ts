import { describe, expect, it } from 'vitest'
import { largeSignal } from '../../src/circuit/large-signal.ts'
import { linearRecording } from '../../src/circuit/linear-recording.ts'
import { operatingPointOf } from '../../src/circuit/operating-point.ts'
import { prepareCircuit } from '../../src/circuit/prepare-circuit.ts'
import { gainDbOf, responseOf } from '../../src/circuit/response.ts'
import { transientNetwork } from '../../src/circuit/transient-network.ts'
import { runTransient } from '../../src/circuit/transient-run.ts'
import type { Circuit, CircuitElement } from '../../src/model/circuit.ts'
import { outsideCircuit } from './outside-netlist.ts'
import { plover } from './read-product.ts'

const rateHz = 48_000
const sine = (frequencyHz: number, peakV: number, seconds = 0.5) =>
  Float64Array.from({ length: seconds * rateHz }, (_, i) => peakV * Math.sin((2 * Math.PI * frequencyHz * i) / rateHz))

/** Peak of the harmonics over the last tenth of a second, which holds whole periods of any multiple of 10 Hz. */
const harmonicsOf = (signal: Float64Array, frequencyHz: number, orders: number[]): number[] => {
  const from = signal.length - rateHz / 10
  return orders.map((order) => {
    let [re, im] = [0, 0]
    for (let i = from; i < signal.length; i++) {
      const phase = (2 * Math.PI * order * frequencyHz * i) / rateHz
      re += signal[i] * Math.cos(phase)
      im += signal[i] * Math.sin(phase)
    }
    return Math.hypot(re, im) / (rateHz / 20)
  })
}

/** A follower on ±5 V; fast unless told otherwise. */
const follower = (change: Partial<Extract<CircuitElement, { kind: 'op-amp' }>> = {}): Circuit => ({
  output: 'o',
  ground: '0',
  elements: [
    {
      kind: 'source',
      designator: 'V1',
      nodes: ['i', '0'],
      role: 'signal',
      value: 0,
      seriesResistance: 0,
      place: 'rig',
    },
    {
      kind: 'source',
      designator: 'BT1',
      nodes: ['p', '0'],
      role: 'supply',
      value: 5,
      seriesResistance: 0,
      place: 'rig',
    },
    {
      kind: 'source',
      designator: 'BT2',
      nodes: ['n', '0'],
      role: 'supply',
      value: -5,
      seriesResistance: 0,
      place: 'rig',
    },
    { kind: 'resistor', designator: 'R1', nodes: ['o', '0'], value: 1e4, place: 'board' },
    {
      kind: 'op-amp',
      designator: 'U1',
      nodes: ['i', 'o', 'o'],
      supplyNodes: ['p', 'n'],
      openLoopGainDb: 120,
      gainBandwidth: 1e9,
      inputResistance: 1e12,
      inputCapacitance: 0,
      outputResistance: 1,
      noiseVoltage: 0,
      noiseCurrent: 0,
      slewRate: 1e9,
      headroomHighV: 2,
      headroomLowV: 2,
      supplyCurrent: 1e-3,
      gainBandwidthTolerance: 0,
      ...change,
    },
  ],
})

const drive = (circuit: Circuit, input: Float64Array, positions = {}) => {
  const netlist = prepareCircuit(circuit)
  const operatingPoint = operatingPointOf({ netlist, positions })
  return largeSignal({ netlist, values: netlist.nominal, operatingPoint, positions, input, rateHz })
}

describe('swing', () => {
  it('a clipped sine has the harmonics of its Fourier series', () => {
    // Fourier coefficients of a sine of peak a cut at ±c, by quadrature of the defining integral.
    const [a, c] = [4, 3]
    const quadrature = (n: number) => {
      const steps = 200_000
      let sum = 0
      for (let i = 0; i < steps; i++) {
        const x = (Math.PI * (i + 0.5)) / steps
        sum += Math.min(c, a * Math.sin(x)) * Math.sin(n * x)
      }
      return Math.abs((2 * sum) / steps)
    }
    const measured = harmonicsOf(drive(follower(), sine(200, a)), 200, [1, 3, 5, 7])
    ;[1, 3, 5, 7].forEach((n, i) => {
      // 0.1 dB: the steps of 5 µs round the corners of the clipping a little.
      expect(Math.abs(20 * Math.log10(measured[i] / quadrature(n)))).toBeLessThan(0.1)
    })
  })
  it('unequal headroom gives even harmonics, equal headroom none', () => {
    const even = harmonicsOf(drive(follower({ headroomHighV: 3 }), sine(200, 4)), 200, [2])[0]
    const none = harmonicsOf(drive(follower(), sine(200, 4)), 200, [2])[0]
    expect(even).toBeGreaterThan(0.1)
    expect(none).toBeLessThan(1e-3)
  })
})

describe('slew rate', () => {
  it('a sine far beyond it becomes a triangle of slope = slew rate', () => {
    // A triangle of slope S and frequency f has peak S/(4f) and odd harmonics 8/π² · peak/n² (Fourier series of a triangle).
    const [slewRate, frequencyHz] = [4000, 1000]
    const output = drive(follower({ slewRate }), sine(frequencyHz, 2.9))
    const peak = slewRate / (4 * frequencyHz)
    const measured = harmonicsOf(output, frequencyHz, [1, 3, 5])
    ;[1, 3, 5].forEach((n, i) => {
      const expected = (8 / Math.PI ** 2) * (peak / n ** 2)
      expect(Math.abs(20 * Math.log10(measured[i] / expected))).toBeLessThan(0.3)
    })
  })
})

describe('a circuit with a coil', () => {
  it('rings in time at the gain that its closed form has at resonance', () => {
    // Outside check 05-O05: 4 H, 8 kΩ, 600 pF, 200 kΩ peaks at 3102.27 Hz with 6.0189 dB.
    const netlist = prepareCircuit(outsideCircuit('pickup_passive_wiring'))
    const stepRate = 384_000
    const network = transientNetwork({ netlist, values: netlist.nominal, positions: {}, stepS: 1 / stepRate })
    expect(network.diagonal).toBe(false)
    const omega = 2 * Math.PI * 3102.2741993
    const input = Float64Array.from({ length: stepRate / 5 }, (_, i) => Math.sin((omega * i) / stepRate))
    const output = runTransient(network, [], input, 1 / stepRate, true)
    const peak = output.slice(stepRate / 10).reduce((most, y) => Math.max(most, y), 0)
    expect(20 * Math.log10(peak)).toBeCloseTo(6.0189, 2)
  })
})

describe('the demo product', () => {
  const netlist = prepareCircuit(plover.circuit)
  const { positions } = plover.settings[0]

  it('meets no limit at the level of its test plan: the output is the linear one', () => {
    const input = sine(1000, plover.testPlan.levelV)
    const linear = linearRecording({ netlist, positions, input, rateHz })
    const output = drive(plover.circuit, input, positions)
    expect(Math.max(...output.map((y, i) => Math.abs(y - linear[i])))).toBeLessThan(1e-9)
  })

  it('steps in time like the exact response at low frequencies, and within the known warp of the rule at high ones', () => {
    const stepRate = 192_000
    const network = transientNetwork({ netlist, values: netlist.nominal, positions, stepS: 1 / stepRate })
    const op = operatingPointOf({ netlist, positions })
    const laws = op.amplifiers.map(() => ({
      unityRad: 2 * Math.PI * 3e6,
      poleRad: (2 * Math.PI * 3e6) / 10 ** (106 / 20),
      secondS: 0,
      slewVs: 1e9,
      lowV: -1e9,
      highV: 1e9,
      pushVs: 0,
    }))
    for (const [frequencyHz, toleranceDb] of [
      [100, 1e-3],
      [1000, 2e-3],
      [10_000, 0.1],
    ]) {
      const input = Float64Array.from({ length: 6 * stepRate }, (_, i) =>
        Math.sin((2 * Math.PI * frequencyHz * i) / stepRate),
      )
      const output = runTransient(network, laws, input, 1 / stepRate, false)
      let [re, im] = [0, 0]
      for (let i = 5 * stepRate; i < 6 * stepRate; i++) {
        const phase = (2 * Math.PI * frequencyHz * i) / stepRate
        re += output[i] * Math.cos(phase)
        im += output[i] * Math.sin(phase)
      }
      const exact = gainDbOf(responseOf({ netlist, positions, frequencyHz: [frequencyHz] }))[0]
      expect(Math.abs(20 * Math.log10(Math.hypot(re, im) / (stepRate / 2)) - exact)).toBeLessThan(toleranceDb)
    }
  })

  it('is silent but for the network when its bias is missing', () => {
    const stuck = {
      ...plover.circuit,
      elements: plover.circuit.elements.map((e) => (e.designator === 'R1' ? { ...e, value: '1 Gohm' } : e)),
    } as Circuit
    const input = sine(1000, plover.testPlan.levelV)
    const healthy = drive(plover.circuit, input, positions)
    const silent = drive(stuck, input, positions)
    const level = (x: Float64Array) => harmonicsOf(x, 1000, [1])[0]
    expect(level(silent)).toBeLessThan(level(healthy) / 100)
  })
})
