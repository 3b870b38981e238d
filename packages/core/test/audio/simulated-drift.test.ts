import { expect, test } from 'vitest'
import { applyDrift, makeSimulatedContact } from '../../src/audio/simulated-drift.ts'

const rateHz = 48_000
/** Gain of the drift at one frequency, read from its impulse response by the sum that defines the transform. */
function gainDbAt(frequencyHz: number, drift: { levelDb: number; trebleDb: number }): number {
  const impulse = new Float64Array(4096)
  impulse[0] = 1
  applyDrift(impulse, { ...drift, rateHz })
  let re = 0
  let im = 0
  impulse.forEach((sample, i) => {
    const angle = (-2 * Math.PI * frequencyHz * i) / rateHz
    re += sample * Math.cos(angle)
    im += sample * Math.sin(angle)
  })
  return 20 * Math.log10(Math.hypot(re, im))
}

test('a level drift is the same at all frequencies', () => {
  for (const hz of [20, 1000, 20_000]) expect(gainDbAt(hz, { levelDb: 0.4, trebleDb: 0 })).toBeCloseTo(0.4, 9)
})

// Closed form of the first-order shelf: nothing at 0 Hz, half of it (dB) at 4 kHz, all of it at half the rate.
test('a treble drift is a shelf: nothing low down, half at 4 kHz, all at the top', () => {
  for (const trebleDb of [-0.8, 0.5, 3]) {
    const drift = { levelDb: -0.2, trebleDb }
    expect(gainDbAt(0, drift)).toBeCloseTo(-0.2, 9)
    expect(gainDbAt(4000, drift)).toBeCloseTo(-0.2 + trebleDb / 2, 6)
    expect(gainDbAt(rateHz / 2, drift)).toBeCloseTo(-0.2 + trebleDb, 6)
  }
})

test('contact changes when another board is put in, or the same one anew, and only then', () => {
  const contactOf = makeSimulatedContact({ seed: 3, contactDb: 0.05, drift: (boards) => ({ levelDb: boards }) })
  const first = contactOf('A 1')
  expect(contactOf('A 1')).toBe(first)
  const anew = contactOf('A 2')
  expect(anew).not.toEqual(first)
  expect(Math.round(first.levelDb)).toBe(0)
  expect(Math.round(anew.levelDb)).toBe(1)
})

test('the level scatters as much as it was told: standard deviation of 400 set-ups within 4 sigma', () => {
  const contactOf = makeSimulatedContact({ seed: 8, contactDb: 0.05 })
  const levels = Array.from({ length: 400 }, (_, i) => contactOf(`A ${i}`).levelDb)
  const mean = levels.reduce((sum, x) => sum + x, 0) / levels.length
  const deviation = Math.sqrt(levels.reduce((sum, x) => sum + (x - mean) ** 2, 0) / (levels.length - 1))
  // The standard deviation of a standard deviation is sigma / sqrt(2 n): 3.5 %.
  expect(Math.abs(deviation / 0.05 - 1)).toBeLessThan(0.14)
})
