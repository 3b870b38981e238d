import { describe, expect, test } from 'vitest'
import { circuits, codesOf, measured, sweepOf, through } from './check-fixture.ts'
import { normalDraws, uniformDraws } from './seeded-noise.ts'
import { butterworth, doubled, dropped, simulateRecording } from './simulated-recording.ts'

const sweep = sweepOf()
const rateHz = 48_000

describe('what is not this sweep is said to be so, and nothing else', () => {
  test.each([
    [2, 20, 20_000],
    [4, 20, 20_000],
    [4.9, 20, 20_000],
    [5.05, 20, 20_000],
    [6, 20, 20_000],
    [10, 20, 20_000],
    [5, 10, 20_000],
    [5, 30, 20_000],
    [5, 20, 16_000],
  ])('a sweep of %f s from %f Hz to %f Hz, for one of 5 s from 20 Hz to 20 kHz', (durationS, fromHz, toHz) => {
    const other = sweepOf({ durationS, fromHz, toHz }).samples
    for (const snrDb of [80, 30]) {
      const samples = simulateRecording({ stimulus: other, lead: 60_000, tail: 90_000, snrDb })
      expect(codesOf(measured({ sweep, channels: [samples] }))).toEqual(['sweep-not-found'])
    }
  })

  test('another pace is named', () => {
    const samples = simulateRecording({ stimulus: sweepOf({ durationS: 4.5 }).samples, lead: 60_000, snrDb: 60 })
    const [finding] = measured({ sweep, channels: [samples] }).findings
    expect(finding.message).toBe('This recording is of another sweep: it rises at another pace.')
    expect(finding.remedy).toMatch(/sweep file that was played/)
  })

  test('a tone, whole or in pieces, low or high', () => {
    const draw = normalDraws(3)
    for (const frequencyHz of [20, 40, 50, 100, 150, 250, 440, 1000, 5000, 15_000])
      for (const [from, to] of [
        [0, 400_000],
        [150_000, 200_000],
      ]) {
        const samples = Float64Array.from({ length: 400_000 }, (_, i) => {
          const sound = i >= from && i < to ? 0.3 * Math.sin((2 * Math.PI * frequencyHz * i) / rateHz) : 0
          return sound + 1e-3 * draw()
        })
        expect(codesOf(measured({ sweep, channels: [samples] })), `${frequencyHz} Hz`).toEqual(['sweep-not-found'])
      }
  })
})

describe('this sweep is found', () => {
  test.each([1000, 2000, 4000, 8000])('behind a steep high-pass at %i Hz', (frequencyHz) => {
    const stimulus = through(sweep, butterworth('high-pass', 8, frequencyHz, rateHz))
    for (const snrDb of [80, 40, 20]) {
      const measurement = measured({ sweep, channels: [simulateRecording({ stimulus, snrDb, gain: 0.5 })] })
      expect(codesOf(measurement)).not.toContain('sweep-not-found')
      expect(Math.abs((measurement.offsetSamples ?? 0) - 5000)).toBeLessThan(30)
    }
  })

  test('with a block lost or doubled anywhere: damage is no other sweep', () => {
    const draw = uniformDraws(5)
    const sound = simulateRecording({ stimulus: through(sweep, circuits(rateHz)['resonance at 1 kHz']), snrDb: 60 })
    for (let take = 0; take < 16; take++) {
      const at = sweep.bodies[0].startSample + 5000 + Math.floor(260_000 * draw())
      const length = 256 + Math.floor(4000 * draw())
      const samples = (take % 2 ? dropped : doubled)(sound, at, length)
      expect(codesOf(measured({ sweep, channels: [samples] })), `${length} at ${at}`).not.toContain('sweep-not-found')
    }
  })
})
