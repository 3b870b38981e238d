import { describe, expect, test } from 'vitest'
import { blockPhases, phaseStepAt } from '../../src/response/recording/phase-step.ts'
import { phaseTrack } from '../../src/response/recording/phase-track.ts'
import { excessPhase } from '../../src/response/recording/track-phase.ts'
import { sweepPhase } from '../../src/response/sweep/sweep-phase.ts'
import { sweepOf } from './check-fixture.ts'
import { filtered, section } from './simulated-recording.ts'

const sweep = sweepOf({ markers: false, durationS: 4 })
const phase = sweepPhase(sweep)
if (!phase) throw new Error('the stimulus is an exponential sweep')
const trackOf = (samples: Float64Array, shift = 0) =>
  phaseTrack({ phase, samples, bodyStart: sweep.bodies[0].startSample + shift })

describe('phase track', () => {
  test('of the stimulus itself has its level, no phase and nothing left over', () => {
    const track = trackOf(sweep.samples)
    track.frequencyHz.forEach((f, k) => {
      if (f < 20 || f > 20_000) return
      expect(20 * Math.log10(track.amplitude[k])).toBeCloseTo(-6, 3)
      expect(track.phaseRad[k]).toBeCloseTo(0, 3)
      expect(track.restRms[k]).toBeLessThan(1e-3)
    })
  })

  // A delay of N samples turns the phase by -2 pi f N / rate.
  test('reads a delay as a phase that falls with frequency', () => {
    const track = trackOf(sweep.samples, -3)
    track.frequencyHz.forEach((f, k) => {
      if (f < 50 || f > 2000) return
      expect(track.phaseRad[k]).toBeCloseTo((-2 * Math.PI * f * 3) / 48_000, 2)
    })
  })

  // Closed form: |H| of a peak section at its centre is its gain; a minimum-phase circuit has no excess phase.
  test('follows a resonance, whose phase is all minimum-phase', () => {
    const peak = section({ kind: 'peak', frequencyHz: 1000, rateHz: 48_000, q: 2, gainDb: 12 })
    const track = trackOf(filtered(sweep.samples, [peak]))
    const excess = excessPhase(track)
    const nearest = track.frequencyHz.reduce(
      (b, f, k) => (Math.abs(f - 1000) < Math.abs(track.frequencyHz[b] - 1000) ? k : b),
      0,
    )
    expect(20 * Math.log10(track.amplitude[nearest])).toBeCloseTo(6, 1)
    expect(Math.max(...track.phaseRad.map(Math.abs))).toBeGreaterThan(0.5)
    track.frequencyHz.forEach((f, k) => {
      if (f > 100 && f < 10_000) expect(Math.abs(excess[k])).toBeLessThan(0.05)
    })
  })
})

describe('phase step', () => {
  // Plain arithmetic: N samples lost at f turn the phase by 2 pi f N / rate and shorten the delay by N / rate.
  test('is what a lost block makes of phase and delay', () => {
    const frequencyHz = Float64Array.from({ length: 200 }, (_, k) => 1000 + 5 * k)
    const lost = 100
    const phaseRad = frequencyHz.map((f, k) => 0.3 - 0.001 * f + (k > 100 ? (2 * Math.PI * f * lost) / 48_000 : 0))
    const uncertaintyRad = new Float64Array(200).fill(0.001)
    const phases = blockPhases({ frequencyHz, phaseRad, uncertaintyRad })
    const at = phaseStepAt({ phases, block: 100, span: 0.1 })
    const jump = (2 * Math.PI * frequencyHz[100] * lost) / 48_000
    expect(Math.cos(at.jumpRad - jump)).toBeCloseTo(1, 9)
    expect(at.delayStepS * 48_000).toBeCloseTo(-lost, 6)
    const sound = phaseStepAt({ phases, block: 40, span: 0.1 })
    expect(sound.jumpRad).toBeCloseTo(0, 9)
    expect(sound.delayStepS).toBeCloseTo(0, 12)
  })
})
