import { describe, expect, test } from 'vitest'
import { contactStates } from '../../src/circuit/contact-states.ts'
import { drawBoard } from '../../src/circuit/draw-board.ts'
import type { Fault } from '../../src/circuit/fault.ts'
import { simulateRecording } from '../../src/circuit/simulate-recording.ts'
import type { Product } from '../../src/model/product.ts'
import { checkContact } from '../../src/response/level/contact-check.ts'
import { makeContactTone } from '../../src/response/level/contact-tone.ts'
import { plover } from './read-product.ts'

// Recordings of simulated boards with parts anywhere within their tolerances, op-amps that clip, the noise of an ordinary
// interface (-98 dBFS) and mains hum, begun somewhere in the silence. Under a second, as the issue asks.
const rateHz = 48_000
const tone = makeContactTone({ rateHz })
const states = Object.fromEntries(
  ['max', 'min'].map((setting) => [setting, contactStates({ product: plover, setting })]),
)

const unpowered: Product = {
  ...plover,
  circuit: {
    ...plover.circuit,
    elements: plover.circuit.elements.map((e) =>
      e.kind === 'source' && e.role === 'supply' ? { ...e, value: '0 V' } : e,
    ),
  },
}

interface Simulated {
  product?: Product
  setting: string
  seed: number
  faults?: readonly Fault[]
  hum?: number
  clip?: boolean
}

function record(options: Simulated) {
  const { product = plover, setting, seed, faults = [], hum = -90, clip } = options
  const played = new Float64Array(0.8 * rateHz)
  played.set(tone.samples, Math.round((0.1 + 0.03 * (seed % 9)) * rateHz))
  return simulateRecording({
    product,
    board: drawBoard({ product, seed, faults }),
    setting,
    sweepSamples: played,
    rateHz,
    noiseDbfs: -98,
    clip,
    boardNoise: false,
    hum: { hz: seed % 2 ? 50 : 60, levelDbfs: hum },
    seed,
  })
}

const check = (options: Simulated) =>
  checkContact({ tone, recording: record(options), states: states[options.setting] })

test('the tone is quiet, short and clear of the mains', () => {
  const peak = Math.max(...tone.samples.map(Math.abs))
  expect(20 * Math.log10(peak)).toBeLessThanOrEqual(-40)
  expect(tone.samples.length / rateHz).toBeLessThan(0.5)
  for (const f of tone.frequencyHz)
    for (const mains of [50, 60]) expect(Math.abs(f - mains * Math.round(f / mains))).toBeGreaterThanOrEqual(20)
})

const bridge = (nodes: [string, string]): Fault => ({ kind: 'bridge', nodes, value: '0.1 ohm' })
const dead = (designator: string): Fault => ({ kind: 'dead', designator })
const cases: { name: string; kind: string; faults: readonly Fault[]; words: RegExp }[] = [
  { name: 'a sound board', kind: 'ok', faults: [], words: /as it should/ },
  { name: 'an open input pin', kind: 'open-pin', faults: [{ kind: 'pin-open', node: 'in' }], words: /pin at in /i },
  { name: 'an open output pin', kind: 'open-pin', faults: [{ kind: 'pin-open', node: 'out' }], words: /pin at out /i },
  {
    name: 'an open battery pin',
    kind: 'unpowered',
    faults: [{ kind: 'pin-open', node: 'battery' }],
    words: /no power/,
  },
  { name: 'a shorted input', kind: 'short', faults: [bridge(['in', '0'])], words: /in is shorted to ground/i },
  { name: 'a shorted output', kind: 'short', faults: [bridge(['out', '0'])], words: /out is shorted to ground/i },
  { name: 'a dead second op-amp', kind: 'dead-chip', faults: [dead('U1B')], words: /U1B is dead/ },
  {
    name: 'a stuck op-amp',
    kind: 'dead-chip',
    faults: [{ kind: 'stuck-high', designator: 'U1B' }],
    words: /U1B is stuck/,
  },
]

/** Boards are drawn by number; one a fault at the second setting is enough, and limits of the op-amps on the first one. */
const boards = (setting: string) => (setting === 'max' ? 3 : 1)

describe.each(['max', 'min'])('at %s', (setting) => {
  test.each(cases)('$name is $kind, on every board', ({ faults, kind, words }) => {
    for (let seed = 1; seed <= boards(setting); seed++) {
      const result = check({ setting, seed, faults, clip: seed === 1 })
      expect({ seed, kind: result.kind }).toEqual({ seed, kind })
      expect(result.message).toMatch(words)
      expect(result.remedy === '').toBe(kind === 'ok')
    }
  })

  test.each([
    // The op-amps hold their outputs to ground, limited in swing or not, or let go of them.
    ['held, with limits', { product: unpowered }],
    ['held, linear', { product: unpowered, clip: false }],
    ['let go', { product: unpowered, faults: [dead('U1A'), dead('U1B')], clip: false }],
    ['shorted battery', { faults: [bridge(['battery', '0'])], clip: false }],
  ])('a board without power (%s)', (_, how) => {
    for (let seed = 1; seed <= boards(setting); seed++) {
      const result = check({ ...how, setting, seed })
      expect({ seed, kind: result.kind }).toEqual({ seed, kind: 'unpowered' })
      expect(result.message).toContain('The board has no power')
    }
  })

  test.each([
    ['U1A is dead', [dead('U1A')]],
    ['U1 is dead', [dead('U1A'), dead('U1B')]],
  ])('%s: that answers like a board without power, and both are told', (words, faults) => {
    const { candidates, message } = check({ setting, seed: 1, faults })
    expect(candidates.map((c) => c.kind)).toEqual(expect.arrayContaining(['unpowered', 'dead-chip']))
    expect(message).toMatch(/the board has no power/i)
    expect(message).toContain(words)
  })

  test('a board with a wrong part is not blamed on a contact', () => {
    const faults: Fault[] = [{ kind: 'value', designator: 'C7', value: '3.3 nF' }]
    expect(['ok', 'unclear']).toContain(check({ setting, seed: 3, faults }).kind)
  })
})

test('strong hum does not hide a sound board, nor make one of silence', () => {
  for (let seed = 1; seed <= 3; seed++) {
    expect(check({ setting: 'max', seed, hum: -40 }).kind).toBe('ok')
    expect(check({ product: unpowered, setting: 'max', seed, hum: -40 }).kind).not.toBe('ok')
  }
})

test('an answer like none of the known states is unclear, and says its levels', () => {
  const recording = new Float64Array(rateHz)
  tone.samples.forEach((x, i) => {
    recording[i + 10_000] = 40 * x
  })
  const { kind, message } = checkContact({ tone, recording, states: states.max })
  expect(kind).toBe('unclear')
  expect(message).toBe('The board answers, but not as it should: 32 dB at 220 Hz, 32 dB at 980 Hz, 32 dB at 5020 Hz.')
  expect(checkContact({ tone, recording: new Float64Array(100), states: states.max }).message).toContain('too short')
})

test('with a reference, the sound board is what was measured', () => {
  const [computed] = states.max
  const reference = {
    setting: 'max',
    runs: 1,
    polarity: 1 as const,
    gainAt1kHzDb: 4,
    repeatabilityDb: [0, 0],
    // A rig that reads 5 dB less than the circuit gives, sloping with the logarithm of frequency.
    curve: { frequencyHz: [22, 22_000], gainDb: [2, 8], phaseDeg: [0, 0], uncertaintyDb: [0, 0] },
  }
  const [measured, ...others] = contactStates({ product: plover, setting: 'max', reference })
  // 220 Hz lies a third of the way in decades, 980 Hz at 1.6488 of 3 decades, 5020 Hz at 2.3583.
  expect(measured.gainDb[0]).toBeCloseTo(4, 9)
  expect(measured.gainDb[1]).toBeCloseTo(2 + 6 * (Math.log10(980 / 22) / 3), 9)
  expect(measured.gainDb[2]).toBeCloseTo(2 + 6 * (Math.log10(5020 / 22) / 3), 9)
  expect(measured.gainDb[0]).not.toBeCloseTo(computed.gainDb[0], 1)
  expect(others).toEqual(states.max.slice(1))
})
