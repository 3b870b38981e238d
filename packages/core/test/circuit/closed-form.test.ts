import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { readNetlist } from '../../src/circuit/netlist.ts'
import { gainDbOf, phaseDegOf, responseOf } from '../../src/circuit/response.ts'
import type { Circuit } from '../../src/model/circuit.ts'
import { idealAmplifier, outsideCircuit } from './outside-netlist.ts'

// All values: outside checks 05-O01 to 05-O12, computed there from closed forms and by nodal analysis in numpy.
const solve = (circuit: Circuit, frequencyHz: number[]) => {
  const curve = responseOf({ netlist: readNetlist(circuit), positions: {}, frequencyHz })
  return { gainDb: [...gainDbOf(curve)], phaseDeg: [...phaseDegOf(curve)], curve }
}
const expectGains = (circuit: Circuit, gains: Record<string, number>, toleranceDb: number) => {
  const { gainDb } = solve(circuit, Object.keys(gains).map(Number))
  Object.values(gains).forEach((expected, i) => {
    expect(Math.abs(gainDb[i] - expected)).toBeLessThan(toleranceDb)
  })
}
const expectPhase = (circuit: Circuit, frequencyHz: number, deg: number) =>
  expect(Math.abs(solve(circuit, [frequencyHz]).phaseDeg[0] - deg)).toBeLessThan(1e-4)

describe('passive circuits', () => {
  it('05-O01 RC low-pass', () => {
    const circuit = outsideCircuit('rc_lowpass')
    expectGains(circuit, { 100: -0.017111504345, 1000: -1.4450701162, 10000: -16.072235266 }, 1e-6)
    expectPhase(circuit, 1000, -32.141907635)
    expectPhase(circuit, 10000, -80.956938921)
  })
  it('05-O02 RC high-pass', () => {
    const circuit = outsideCircuit('rc_highpass')
    expectGains(circuit, { 5: -4.9043789019, 20: -0.53400511092, 1000: -0.00022728346867 }, 1e-6)
    expectPhase(circuit, 20, 19.885856823)
  })
  it('05-O03 loaded RC low-pass', () => {
    expectGains(outsideCircuit('loaded_rc'), { 100: -0.82819455468, 1000: -0.86180712088, 20000: -6.9973133537 }, 1e-6)
  })
  it('05-O04 twin-T notch by its closed form, 1e-9', () => {
    const f0 = 1 / (2 * Math.PI * 10e3 * 10e-9)
    const xs = [0.1, 0.5, 0.9, 1.1, 2, 10]
    const { curve } = solve(
      outsideCircuit('twin_t'),
      xs.map((x) => x * f0),
    )
    xs.forEach((x, i) => {
      const a = 1 - x * x
      const d = a * a + 16 * x * x
      expect(Math.abs(curve.re[i] - (a * a) / d)).toBeLessThan(1e-9)
      expect(Math.abs(curve.im[i] - (-4 * a * x) / d)).toBeLessThan(1e-9)
    })
  })
  it.each([
    ['pickup_passive_wiring', { 100: -0.33372659817, 1000: 0.37260574361, 3000: 5.958578137, 10000: -18.667259784 }],
    ['pickup_buffered_on_board', { 100: -0.06761913551, 3000: 1.4869943957, 10000: 0.53632027251 }],
    ['pickup_heavily_loaded', { 100: -2.7199715325, 1000: -4.7493941615, 10000: -23.080950919 }],
  ])('05-O05 %s: series RLC with load', (name, gains) => expectGains(outsideCircuit(name), gains, 1e-6))
  it('05-O06 passive tone control closed', () => {
    expectGains(
      outsideCircuit('pickup_tone_closed'),
      { 50: -0.24782989589, 200: 0.96722864686, 1000: -16.838694247 },
      1e-4,
    )
  })
  it('05-O07 volume at half with a cable', () => {
    expectGains(outsideCircuit('volume_half'), { 100: -6.8359319809, 3000: -6.6172571847, 10000: -19.33053321 }, 1e-4)
  })
})

describe('op-amp circuits', () => {
  it('05-O08 bass control at full boost by its law: 1 + (P || 1/sC)/R1', () => {
    const circuit = outsideCircuit('bass_full_boost')
    expectGains(circuit, { 1: 20.824099267, 20: 19.540779634, 100: 11.253083359, 1000: 0.55930301287 }, 1e-5)
  })
  it('05-O09 two-band tone control over the whole table', () => {
    const lines = readFileSync(new URL('./fixtures/two-band-tone-responses.csv', import.meta.url), 'utf8')
      .trim()
      .split('\n')
      .slice(1)
      .map((line) => line.split(',').map(Number))
    const frequencyHz = lines.map(([f]) => f)
    const max = solve(outsideCircuit('two_band_max'), frequencyHz).gainDb
    const min = solve(outsideCircuit('two_band_min'), frequencyHz).gainDb
    lines.forEach(([, expectedMax, expectedMin], i) => {
      expect(Math.abs(max[i] - expectedMax)).toBeLessThan(1e-3)
      expect(Math.abs(min[i] - expectedMin)).toBeLessThan(1e-3)
    })
    expect(lines.length).toBeGreaterThan(60)
  })
  it('05-O10 non-inverting stage with a one-pole op-amp', () => {
    const circuit = outsideCircuit('noninverting_11')
    expectGains(circuit, { 10: 20.826898255, 1000: 20.826372959, 20000: 20.621672287, 90919.0909: 17.816598352 }, 1e-6)
    expectPhase(circuit, 20000, -12.40609612)
  })
  it('05-O11 inverting stage with a one-pole op-amp', () => {
    const circuit: Circuit = {
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
        { kind: 'resistor', designator: 'R1', nodes: ['i', 'm'], value: 1000, place: 'board' },
        { kind: 'resistor', designator: 'R2', nodes: ['m', 'o'], value: 10000, place: 'board' },
        idealAmplifier('U1', ['0', 'm', 'o'], 100, 1e6),
      ],
    }
    expectGains(circuit, { 10: 19.999044552, 1000: 19.998519256, 20000: 19.793818584 }, 1e-6)
    expectPhase(circuit, 20000, 167.59390388)
  })
  it('05-O12 Sallen-Key low-pass', () => {
    const circuit = outsideCircuit('sallen_key')
    expectGains(circuit, { 100: 0.0065354144991, 1000: -2.0314779401, 10000: -38.767124145 }, 1e-6)
    expectPhase(circuit, 1000, -84.027197374)
  })
})

describe('limiting cases', () => {
  it('a bridged T with its bridge open is a divider; with it closed, a straight wire', () => {
    const bridged = (bridge: number): Circuit => ({
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
        { kind: 'capacitor', designator: 'C1', nodes: ['i', 't'], value: 1e-6, dielectric: 'film', place: 'board' },
        { kind: 'capacitor', designator: 'C2', nodes: ['t', 'o'], value: 1e-6, dielectric: 'film', place: 'board' },
        { kind: 'resistor', designator: 'R1', nodes: ['t', '0'], value: 1e3, place: 'board' },
        { kind: 'resistor', designator: 'R2', nodes: ['i', 'o'], value: bridge, place: 'board' },
        { kind: 'resistor', designator: 'R3', nodes: ['o', '0'], value: 1e4, place: 'board' },
      ],
    })
    expect(solve(bridged(1e-3), [100]).gainDb[0]).toBeCloseTo(0, 5)
    expect(solve(bridged(1e12), [1e-3]).gainDb[0]).toBeLessThan(-80)
  })
  it('the bridged T follows its closed form', () => {
    // Four admittances: series y, y, shunt g, bridge b, no load: H = (y² + b(2y + g)) / (y² + b(2y + g) + y g).
    const [c, g, b] = [1e-8, 1 / 2200, 1 / 47e3]
    const circuit: Circuit = {
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
        { kind: 'capacitor', designator: 'C1', nodes: ['i', 't'], value: c, dielectric: 'film', place: 'board' },
        { kind: 'capacitor', designator: 'C2', nodes: ['t', 'o'], value: c, dielectric: 'film', place: 'board' },
        { kind: 'resistor', designator: 'R1', nodes: ['t', '0'], value: 1 / g, place: 'board' },
        { kind: 'resistor', designator: 'R2', nodes: ['i', 'o'], value: 1 / b, place: 'board' },
      ],
    }
    for (const f of [100, 1000, 1563, 5000, 20000]) {
      const w = 2 * Math.PI * f * c
      const numerator = { re: -w * w + b * g, im: 2 * b * w }
      const denominator = { re: numerator.re, im: numerator.im + w * g }
      const expected =
        10 * Math.log10((numerator.re ** 2 + numerator.im ** 2) / (denominator.re ** 2 + denominator.im ** 2))
      expect(Math.abs(solve(circuit, [f]).gainDb[0] - expected)).toBeLessThan(1e-9)
    }
  })
})
