import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { largeSignal } from '../../src/circuit/large-signal.ts'
import { operatingPointOf } from '../../src/circuit/operating-point.ts'
import { prepareCircuit } from '../../src/circuit/prepare-circuit.ts'
import type { Circuit } from '../../src/model/circuit.ts'
import { toneHarmonics } from '../../src/response/hard/tone-harmonics.ts'

// A follower at its limits, by the simulated rig's time steps, against scipy's solution of its differential equation
// (response/hard/fixtures/saturation.py), and against the slew-rate limit: a sine of peak A and frequency f needs 2 pi f A.
interface Case {
  frequencyHz: number
  peakV: number
  slewVs: number
  lowV: number
  highV: number
  amplitudes: number[]
}
const rateHz = 48_000
const place = new URL('../response/hard/fixtures/saturation.json', import.meta.url)
const { follower } = JSON.parse(readFileSync(place, 'utf8')) as { follower: Case[] }

const source = (designator: string, nodes: [string, string], role: 'signal' | 'supply', value: number) =>
  ({ kind: 'source', designator, nodes, role, value, seriesResistance: 0, place: 'rig' }) as const
const circuitOf = ({ slewVs, lowV, highV }: Pick<Case, 'slewVs' | 'lowV' | 'highV'>): Circuit => ({
  output: 'o',
  ground: '0',
  elements: [
    source('V1', ['i', '0'], 'signal', 0),
    source('BT1', ['p', '0'], 'supply', 6),
    source('BT2', ['n', '0'], 'supply', -6),
    { kind: 'resistor', designator: 'R1', nodes: ['o', '0'], value: 1e5, place: 'board' },
    {
      kind: 'op-amp',
      designator: 'U1',
      nodes: ['i', 'o', 'o'],
      supplyNodes: ['p', 'n'],
      openLoopGainDb: 140,
      gainBandwidth: 3e5,
      inputResistance: 1e12,
      inputCapacitance: 0,
      outputResistance: 0.1,
      noiseVoltage: 0,
      noiseCurrent: 0,
      slewRate: slewVs,
      headroomHighV: 6 - highV,
      headroomLowV: lowV + 6,
      supplyCurrent: 1e-3,
      gainBandwidthTolerance: 0,
    },
  ],
})

function answer(what: Omit<Case, 'amplitudes'>) {
  const netlist = prepareCircuit(circuitOf(what))
  const values = netlist.nominal
  const input = Float64Array.from(
    { length: 0.3 * rateHz },
    (_, i) => what.peakV * Math.sin((2 * Math.PI * what.frequencyHz * i) / rateHz),
  )
  const operatingPoint = operatingPointOf({ netlist, values, positions: {} })
  const output = largeSignal({ netlist, values, operatingPoint, positions: {}, input, rateHz })
  return toneHarmonics({ samples: output.slice(-9600), cycles: what.frequencyHz / 5 })
}

describe('a follower at its limits', () => {
  it.each(follower)('at $frequencyHz Hz and $peakV V, $slewVs V/s, $lowV to $highV V', ({ amplitudes, ...what }) => {
    const reading = answer(what)
    // Time steps of 5 us against an adaptive solver: 0.5 % of the fundamental, and 1 % of it for what a corner spreads.
    expect(Math.abs(reading.amplitude / amplitudes[0] - 1)).toBeLessThan(0.005)
    for (const { order, levelDb } of reading.harmonics) {
      const size = reading.amplitude * 10 ** (levelDb / 20)
      expect(Math.abs(size - amplitudes[order - 1])).toBeLessThan(0.01 * amplitudes[0])
    }
  })

  it('begins to slew where 2 pi f A reaches the slew rate', () => {
    const slewVs = 2e4
    const limitV = slewVs / (2 * Math.PI * 2000)
    const thdAt = (share: number) =>
      answer({ frequencyHz: 2000, peakV: share * limitV, slewVs, lowV: -5, highV: 5 }).thdPercent
    expect(thdAt(0.9)).toBeLessThan(0.01)
    expect(thdAt(1.2)).toBeGreaterThan(0.3)
    // Far beyond, the output is a triangle: its harmonics fall as 1/k^2, 1/9 + 1/25 + 1/49 summed as powers: 11.8 %.
    expect(thdAt(4)).toBeGreaterThan(11)
    expect(thdAt(4)).toBeLessThan(12.2)
  })
})
