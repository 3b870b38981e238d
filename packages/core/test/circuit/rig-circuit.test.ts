import { expect, test } from 'vitest'
import { contactStates } from '../../src/circuit/contact-states.ts'
import { rigCircuit } from '../../src/circuit/rig-circuit.ts'
import { Circuit } from '../../src/model/circuit.ts'
import { plover } from './read-product.ts'

// A board that is one resistor, so that every gain is a voltage divider worked out by hand.
const circuit = Circuit.parse({
  ground: '0',
  output: 'out',
  elements: [
    {
      kind: 'source',
      designator: 'V1',
      nodes: ['in', '0'],
      role: 'signal',
      value: '0 V',
      seriesResistance: '0.001 ohm',
      place: 'rig',
    },
    { kind: 'resistor', designator: 'R1', nodes: ['in', 'out'], value: '1 kohm' },
    { kind: 'resistor', designator: 'R101', nodes: ['out', '0'], value: '10 kohm', place: 'rig' },
  ],
})
const product = { circuit, settings: [{ name: 'max', label: 'as it is', positions: {} }] }
const nothing = { calibration: null, correction: null, sourceResistanceOhm: null, loadResistanceOhm: null }
const db = (gain: number) => 20 * Math.log10(gain)
const soundDb = (rig?: Parameters<typeof contactStates>[0]['rig']) =>
  contactStates({ product, setting: 'max', rig })[0].gainDb

test('what drives and what loads the board is what was measured; the rest stays as in the product file', () => {
  for (const gain of soundDb()) expect(gain).toBeCloseTo(db(10 / 11), 4)
  for (const gain of soundDb(nothing)) expect(gain).toBeCloseTo(db(10 / 11), 4)
  // 1 k source, 1 k board, 2 k load: 2 of 4.
  for (const gain of soundDb({ ...nothing, sourceResistanceOhm: 1000, loadResistanceOhm: 2000 }))
    expect(gain).toBeCloseTo(db(0.5), 6)
  for (const gain of soundDb({ ...nothing, loadResistanceOhm: 1000 })) expect(gain).toBeCloseTo(db(0.5), 4)
})

test('only the rig is changed: no part of the board', () => {
  const changed = rigCircuit(plover.circuit, { sourceResistanceOhm: 150, loadResistanceOhm: 10_000 })
  const differing = changed.elements.filter((element, i) => element !== plover.circuit.elements[i])
  expect(differing.map(({ designator }) => designator)).toEqual(['V1', 'R101'])
  expect(differing.every((element) => 'place' in element && element.place === 'rig')).toBe(true)
  expect(rigCircuit(plover.circuit, nothing)).toBe(plover.circuit)
})

const calibration = { calibratedAt: '2026-03-02T08:00:00Z', method: 'data', fullScaleOutV: 4, fullScaleInV: 2 }
const correction = {
  measuredAt: '2026-03-02T08:00:00Z',
  frequencyHz: [20, 20_000],
  gainDb: [-3, -3],
  phaseDeg: [0, 0],
  uncertaintyDb: [0, 0],
}

test('what the rig adds is in every state: by its correction, else by its calibration', () => {
  // 4 V out and 2 V in at full scale make a wire look twice as loud.
  for (const gain of soundDb({ ...nothing, calibration })) expect(gain).toBeCloseTo(db((2 * 10) / 11), 4)
  for (const gain of soundDb({ ...nothing, calibration, correction })) expect(gain).toBeCloseTo(db(10 / 11) - 3, 4)
  const plain = contactStates({ product, setting: 'max' })
  const shifted = contactStates({ product, setting: 'max', rig: { ...nothing, correction } })
  expect(shifted.map(({ words }) => words)).toEqual(plain.map(({ words }) => words))
  const faulty = (states: typeof plain) => states.find(({ words }) => words === 'the pin at out does not touch')!.gainDb
  faulty(shifted).forEach((gain, i) => {
    expect(gain).toBeCloseTo(faulty(plain)[i] - 3, 6)
  })
})

test('without either, the reference tells what the rig adds', () => {
  const reference = {
    setting: 'max',
    runs: 1,
    polarity: 1 as const,
    gainAt1kHzDb: 0,
    repeatabilityDb: [0, 0],
    // 5 dB above the divider.
    curve: {
      frequencyHz: [20, 20_000],
      gainDb: [db(10 / 11) + 5, db(10 / 11) + 5],
      phaseDeg: [0, 0],
      uncertaintyDb: [0, 0],
    },
  }
  const plain = contactStates({ product, setting: 'max' })
  const told = contactStates({ product, setting: 'max', reference, rig: nothing })
  told.slice(0, -1).forEach(({ gainDb }, state) => {
    gainDb.forEach((gain, i) => {
      // The source of the product file has a milliohm.
      expect(gain).toBeCloseTo(plain[state].gainDb[i] + 5, 5)
    })
  })
  // A corrected reference has the rig taken out; the tone has it in.
  const [sound] = contactStates({ product, setting: 'max', reference, rig: { ...nothing, correction } })
  for (const gain of sound.gainDb) expect(gain).toBeCloseTo(db(10 / 11) + 5 - 3, 6)
})
