import { describe, expect, test } from 'vitest'
import { curveFromImpulse } from '../../src/response/curve/curve-from-impulse.ts'
import { measureBodies } from '../../src/response/curve/measure-bodies.ts'
import { findHum } from '../../src/response/hum/find-hum.ts'
import { removeHum } from '../../src/response/hum/remove-hum.ts'
import { findSweep } from '../../src/response/sweep/find-sweep.ts'
import type { SweepSignal } from '../../src/response/sweep/sweep-signal.ts'
import { circuits, measured, sweepOf, through } from './check-fixture.ts'
import { hummed, type SimulatedHum } from './hum-fixture.ts'
import { uniformDraws } from './seeded-noise.ts'
import { section, simulateRecording } from './simulated-recording.ts'

const rateHz = 48_000

const curveOf = (sweep: SweepSignal, samples: Float64Array) => {
  const { curve } = measured({ sweep, channels: [samples] })
  if (!curve) throw new Error('no curve')
  return curve
}

const cleanCurves = new WeakMap<Float64Array, ReturnType<typeof curveOf>>()

/** What a hum does to a curve: largest change with it taken out, as dB and over the stated uncertainty, and left in. */
const compare = (options: { sweep: SweepSignal; samples: Float64Array; hum: SimulatedHum }) => {
  const { sweep, samples, hum } = options
  const disturbed = hummed(samples, rateHz, hum)
  const clean = cleanCurves.get(samples) ?? curveOf(sweep, samples)
  cleanCurves.set(samples, clean)
  const found = curveOf(sweep, disturbed)
  const alignment = findSweep({ sweep, recording: disturbed })
  const left =
    alignment && measureBodies({ sweep, response: { samples: disturbed, hum: null }, loopBack: null, alignment })
  if (!left) throw new Error('not found')
  const change = found.gainDb.map((gain, i) => gain - clean.gainDb[i])
  const { re, im } = left.mean.response
  const without = clean.gainDb.map((gain, i) => 10 * Math.log10(re[i] ** 2 + im[i] ** 2) - gain)
  const size = (values: readonly number[]) => values.reduce((most, value) => Math.max(most, Math.abs(value)), 0)
  return {
    errorDb: size(change),
    ratio: size(change.map((value, i) => value / found.uncertaintyDb[i])),
    withoutDb: size(without),
  }
}

describe('mains hum is taken out of the curve', () => {
  const sweep = sweepOf({ durationS: 4, levelDbfs: -12 })
  const samples = simulateRecording({ stimulus: sweep.samples, snrDb: 80 })
  // A sweep 4 s at -12 dBFS, noise 80 dB below: what is left must be under the noise's own share of 0.001 dB.
  test.each([
    { mainsHz: 50, driftHz: 0 },
    { mainsHz: 49.93, driftHz: 0.01 },
    { mainsHz: 60, driftHz: -0.01 },
    { mainsHz: 60.04, driftHz: 0 },
  ])('of $mainsHz Hz, drifting by $driftHz Hz/s, from -90 to -40 dBFS', (mains) => {
    for (const levelDbfs of [-90, -80, -70, -60, -50, -40]) {
      const result = compare({ sweep, samples, hum: { ...mains, levelDbfs, phaseRad: levelDbfs } })
      expect(result.errorDb, `${levelDbfs} dBFS`).toBeLessThan(0.001)
      expect(result.ratio, `${levelDbfs} dBFS`).toBeLessThan(2)
      // The hum is not harmless: each 10 dB of it do three times as much (the phase decides how much).
      expect(result.withoutDb).toBeGreaterThan(0.004 * 10 ** ((levelDbfs + 80) / 20))
    }
  })

  test.each([
    ['0.3 s before, 0.7 s behind', { durationS: 2 }],
    ['nothing before', { durationS: 4, silenceBeforeS: 0, markers: false }],
    ['nothing behind', { durationS: 4, silenceAfterS: 0, markers: false }],
    ['neither', { durationS: 3, silenceBeforeS: 0, silenceAfterS: 0, markers: false }],
    ['a short sweep', { durationS: 0.5 }],
    ['three repeats', { durationS: 1.5, repeats: 3 }],
  ])('with silences: %s', (_name, settings) => {
    const other = sweepOf({ levelDbfs: -12, ...settings })
    const recording = simulateRecording({ stimulus: other.samples, snrDb: 80, lead: 0, tail: 0 })
    const hum = { mainsHz: 49.97, driftHz: 0.004, levelDbfs: -60, multiples: [1, 0.1, 0.4, 0, 0.2, 0, 0.1] }
    const { errorDb, ratio, withoutDb } = compare({ sweep: other, samples: recording, hum })
    expect(withoutDb / errorDb).toBeGreaterThan(25)
    expect(ratio).toBeLessThan(4)
  })

  test('what is left of an unsteady one stands in the uncertainty', () => {
    let squares = 0
    const levels = [-80, -70, -60, -50]
    for (const levelDbfs of levels) {
      const { ratio } = compare({ sweep, samples, hum: { mainsHz: 50, levelDbfs, unrest: 0.1, phaseRad: levelDbfs } })
      squares += ratio ** 2 / levels.length
    }
    // The largest of some ten points near the multiples: one to two uncertainties, and not overstated tenfold.
    expect(Math.sqrt(squares)).toBeLessThan(3)
    expect(Math.sqrt(squares)).toBeGreaterThan(0.1)
  })
})

describe('only hum is taken out', () => {
  test('a recording without hum stays the very same, whatever the circuit', () => {
    const draw = uniformDraws(77)
    for (const [name, sections] of Object.entries(circuits(rateHz))) {
      const sweep = sweepOf({ durationS: draw() < 0.5 ? 2 : 4, markers: draw() < 0.5 })
      const snrDb = [20, 40, 60, 80, 140][Math.floor(5 * draw())]
      const samples = simulateRecording({ stimulus: through(sweep, sections), snrDb, seed: 9, gain: 0.5 })
      const clean = removeHum({ samples, sweep, offsetSamples: 5000 })
      expect(clean.hum?.components, `${name}, ${snrDb} dB`).toBeUndefined()
      expect(clean.samples).toBe(samples)
    }
  })

  test('a sharp resonance at 50 Hz stays, with hum on top of it', () => {
    const sweep = sweepOf({ durationS: 4, levelDbfs: -12 })
    const sections = [section({ kind: 'peak', frequencyHz: 50, q: 12, gainDb: 15, rateHz })]
    const samples = simulateRecording({ stimulus: through(sweep, sections), snrDb: 80, gain: 0.5 })
    expect(findHum({ samples, sweep, offsetSamples: 5000 })).toBeNull()
    const { errorDb, withoutDb } = compare({ sweep, samples, hum: { mainsHz: 50.02, levelDbfs: -60 } })
    expect(withoutDb).toBeGreaterThan(0.1)
    expect(errorDb).toBeLessThan(0.01)
  })

  test('a tone that is no mains stays', () => {
    const sweep = sweepOf()
    const samples = simulateRecording({ stimulus: sweep.samples, snrDb: 80 })
    for (const mainsHz of [47, 55, 63]) {
      const toned = hummed(samples, rateHz, { mainsHz, levelDbfs: -60, multiples: [1] })
      expect(findHum({ samples: toned, sweep, offsetSamples: 5000 }), `${mainsHz} Hz`).toBeNull()
    }
  })
})

test('frequency and level of the hum are told', () => {
  const sweep = sweepOf({ durationS: 4 })
  const samples = simulateRecording({ stimulus: sweep.samples, snrDb: 70 })
  const hum = findHum({
    samples: hummed(samples, rateHz, { mainsHz: 60.04, levelDbfs: -60 }),
    sweep,
    offsetSamples: 5000,
  })
  expect(hum?.mainsHz).toBe(60)
  expect(hum?.mains.deviationHz.every((value) => Math.abs(value - 0.04) < 0.005)).toBe(true)
  expect(hum?.components.map((c) => c.frequencyHz)).toEqual([60, 180])
  expect(20 * Math.log10(hum?.components[0].amplitude ?? 0)).toBeCloseTo(-60, 1)
})

test('the curve of a hummed recording comes back from its stored impulse response', () => {
  const sweep = sweepOf({ durationS: 3 })
  const samples = simulateRecording({ stimulus: sweep.samples, snrDb: 60 })
  const { curve, impulse } = measured({
    sweep,
    channels: [hummed(samples, rateHz, { mainsHz: 50, levelDbfs: -50, unrest: 0.05 })],
  })
  if (!curve || !impulse) throw new Error('nothing measured')
  const again = curveFromImpulse({ impulse, sweep })
  again.gainDb.forEach((gain, i) => {
    expect(Math.abs(gain - curve.gainDb[i])).toBeLessThan(0.0005)
    expect(Math.abs(again.uncertaintyDb[i] - curve.uncertaintyDb[i])).toBeLessThan(0.0005)
  })
})

test('hum on the loop-back is taken out as well', () => {
  const sweep = sweepOf({ durationS: 3, levelDbfs: -12 })
  const samples = simulateRecording({ stimulus: sweep.samples, snrDb: 80 })
  const other = hummed(samples, rateHz, { mainsHz: 50, levelDbfs: -55 })
  const { curve } = measured({ sweep, channels: [samples, other], loopBackChannel: 1 })
  for (const gain of curve?.gainDb ?? [1]) expect(Math.abs(gain)).toBeLessThan(0.001)
})
