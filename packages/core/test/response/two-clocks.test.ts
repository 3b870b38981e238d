import { describe, expect, test } from 'vitest'
import { readAtSpeed } from '../../src/response/clock/read-at-speed.ts'
import { circuits, codesOf, measured, sweepOf, through } from './check-fixture.ts'
import { dropped, simulateRecording } from './simulated-recording.ts'

/** Largest differences of two curves, the phase without the delay that fits best. */
function differences(a: ReturnType<typeof measured>, b: ReturnType<typeof measured>) {
  const { frequencyHz } = a.curve!
  const phase = a.curve!.phaseDeg.map((p, i) => p - b.curve!.phaseDeg[i])
  const perHz =
    phase.reduce((sum, p, i) => sum + p * frequencyHz[i], 0) / frequencyHz.reduce((sum, f) => sum + f * f, 0)
  return {
    gainDb: Math.max(...a.curve!.gainDb.map((g, i) => Math.abs(g - b.curve!.gainDb[i]))),
    phaseDeg: Math.max(...phase.map((p, i) => Math.abs(p - perHz * frequencyHz[i]))),
  }
}

describe('player and recorder on two clocks', () => {
  // Expected: the curve of the same take on one clock. 50 millionths are the usual limit of a crystal, 200 beyond it; the
  // recording is made by a resampler of its own (simulated-recording.ts). Without the correction: 50 to 500 degrees.
  test.each([
    { markers: true, repeats: 1, phaseDeg: 0.1 },
    { markers: false, repeats: 2, phaseDeg: 0.6 },
    { markers: false, repeats: 1, phaseDeg: 1.5 },
  ])(
    'are told apart and brought together: $markers, $repeats',
    ({ markers, repeats, phaseDeg }) => {
      const sweep = sweepOf({ durationS: 4, markers, repeats })
      const stimulus = through(sweep, circuits(48_000)['boost of bass and treble'])
      const take = (ppm: number) =>
        measured({ sweep, channels: [simulateRecording({ stimulus, gain: 0.3, snrDb: 70, tail: 12_000, ppm })] })
      const one = take(0)
      expect(codesOf(one)).toEqual([])
      for (const ppm of [20, 50, -100, 200]) {
        const two = take(ppm)
        expect(codesOf(two, 'refuse')).toEqual([])
        const note = two.findings.find(({ code }) => code === 'clock-drift')
        expect(note?.message).toContain(ppm > 0 ? 'slower' : 'faster')
        expect(Math.abs(Number(/runs (\d+) /.exec(note?.message ?? '')?.[1]) - Math.abs(ppm))).toBeLessThanOrEqual(1)
        const off = differences(two, one)
        expect(off.gainDb, `${ppm}`).toBeLessThan(0.01)
        expect(off.phaseDeg, `${ppm}`).toBeLessThan(phaseDeg)
      }
    },
    120_000,
  )

  test('lost samples are not taken for a slow clock, however long the sweep', () => {
    // 64 samples of 10 s are 130 millionths: the sweep itself shows that it lost them in one place.
    const sweep = sweepOf({ durationS: 8 })
    const sound = simulateRecording({ stimulus: sweep.samples, snrDb: 60, tail: 12_000 })
    const start = 5000 + sweep.bodies[0].startSample
    for (const at of [start - 5000, start + 40_000, start + 200_000, start + 380_000])
      expect(codesOf(measured({ sweep, channels: [dropped(sound, at, 64)] }), 'refuse')).toContain('block-slipped')
  }, 60_000)
})

test('reading at another speed gives the same tone at another pitch, 100 dB clean, and 74 dB at 20 kHz and 44.1 kHz', () => {
  // Expected: the closed form of the tone.
  for (const frequencyHz of [50, 1000, 9000, 20_000]) {
    const turn = (2 * Math.PI * frequencyHz) / 44_100
    const samples = Float64Array.from({ length: 4000 }, (_, i) => Math.sin(turn * i))
    const speed = 1 + 3e-4
    const read = readAtSpeed({ samples, speed, fixedSample: 500 })
    let worst = 0
    for (let i = 200; i < 3800; i++)
      worst = Math.max(worst, Math.abs(read[i] - Math.sin(turn * (500 + (i - 500) * speed))))
    expect(worst, `${frequencyHz}`).toBeLessThan(frequencyHz > 15_000 ? 2e-4 : 1e-5)
  }
})
