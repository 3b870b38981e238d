import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { curveFromImpulse } from '../../src/response/curve/curve-from-impulse.ts'
import { measureRecording } from '../../src/response/curve/measure-recording.ts'
import { findSweep } from '../../src/response/sweep/find-sweep.ts'
import { makeSweep } from '../../src/response/sweep/sweep.ts'
import type { SweepSignal } from '../../src/response/sweep/sweep-signal.ts'
import { asAudio, defaultSweep } from './default-sweep.ts'
import { addNoise, applyFilter, knownFilters, shifted } from './known-filter.ts'
import { section } from './simulated-recording.ts'

const sweep = makeSweep(defaultSweep)
const filter = knownFilters.find((f) => f.rateHz === 48_000 && f.name === 'bass and treble shelves down')
if (!filter) throw new Error('fixture changed')
const answer = applyFilter(sweep.samples, filter)
const measured = (samples: Float64Array, more = {}) =>
  measureRecording({ sweep, recording: asAudio(48_000, samples), ...more })
const expectSame = (a: readonly number[] | undefined, b: readonly number[] | undefined, within: number) => {
  expect(a).toHaveLength(b?.length ?? -1)
  a?.forEach((value, i) => {
    expect(Math.abs(value - (b?.[i] ?? Number.NaN)), `point ${i}`).toBeLessThan(within)
  })
}

describe('limiting cases', () => {
  test('the stimulus itself reads 0 dB, 0 degrees, no delay, upright', () => {
    const { curve, delayS, polarity, gainAt1kHzDb, offsetSamples } = measured(sweep.samples)
    for (const gain of curve?.gainDb ?? [1]) expect(Math.abs(gain)).toBeLessThan(1e-4)
    for (const phase of curve?.phaseDeg ?? [1]) expect(Math.abs(phase)).toBeLessThan(1e-2)
    expect(Math.abs(delayS)).toBeLessThan(1e-8)
    expect({ polarity, offsetSamples }).toEqual({ polarity: 1, offsetSamples: 0 })
    expect(gainAt1kHzDb).toBeCloseTo(0, 4)
  })

  test('turned over, 3.7 dB louder, 4567 samples late', () => {
    const gain = -(10 ** (3.7 / 20))
    const { curve, delayS, polarity, gainAt1kHzDb, offsetSamples } = measured(
      shifted(
        sweep.samples.map((v) => gain * v),
        4567,
      ),
    )
    expect({ polarity, offsetSamples }).toEqual({ polarity: -1, offsetSamples: 4567 })
    expect(gainAt1kHzDb).toBeCloseTo(3.7, 4)
    expect(delayS * 48_000).toBeCloseTo(4567, 3)
    expect(Math.abs(curve?.phaseDeg[136] ?? 0)).toBeCloseTo(180, 2)
  })

  test('a delay of part of a sample is found (a first-order all-pass is one at low frequencies)', () => {
    // (a + z^-1) / (1 + a z^-1) delays by (1 - a) / (1 + a) = 0.5 samples at low frequencies, from general knowledge.
    const a = 1 / 3
    const { delayS } = measured(applyFilter(sweep.samples, { sos: [[a, 1, 0, 1, a, 0]] }))
    expect(Math.abs(delayS * 48_000 - 0.5)).toBeLessThan(0.06)
  })

  test.each([
    ['silence', new Float64Array(300_000)],
    ['nothing', new Float64Array(0)],
    ['one sample', Float64Array.of(0.3)],
    ['a stub', sweep.samples.slice(0, 40_000)],
  ])('%s gives no curve and does not crash', (_name, samples) => {
    expect(measured(samples)).toMatchObject({ usable: false, curve: null, gainAt1kHzDb: null })
  })

  test('a channel that is not there, or is asked to be both, is refused', () => {
    expect(() => measured(sweep.samples, { channel: 1 })).toThrow(/none with number 2/)
    expect(() => measured(sweep.samples, { channel: 0, loopBackChannel: 0 })).toThrow(
      /both the response and the loop-back/,
    )
  })
})

describe('two channels', () => {
  const interface_ = applyFilter(sweep.samples, {
    sos: toSos([section({ kind: 'high-pass', frequencyHz: 30, rateHz: 48_000 })]),
  })
  const board = applyFilter(interface_, filter)
  test('the loop-back takes out interface colour and latency', () => {
    const recording = asAudio(48_000, shifted(board, 900), shifted(interface_, 700))
    const { curve, delayS } = measureRecording({ sweep, recording, loopBackChannel: 1 })
    const { curve: alone, delayS: ownDelayS } = measured(answer)
    expectSame(curve?.gainDb, alone?.gainDb, 0.002)
    expect(Math.abs((delayS - ownDelayS) * 48_000 - 200)).toBeLessThan(0.01)
  })
  test('a correction measured from the rig alone does the same', () => {
    const { curve: rig } = measured(interface_)
    const { curve } = measured(board, { correction: rig })
    const { curve: alone } = measured(answer)
    expectSame(curve?.gainDb, alone?.gainDb, 0.002)
    expectSame(curve?.phaseDeg, alone?.phaseDeg, 0.5)
  })
})

test('the curve comes back from the stored impulse response, in single precision too', () => {
  const recording = addNoise({ recording: shifted(answer, 321), sweep, offsetSamples: 321, snrDb: 70, seed: 2 })
  const { curve, impulse } = measured(recording)
  if (!impulse || !curve) throw new Error('nothing measured')
  const again = curveFromImpulse({ impulse, sweep: makeSweep(defaultSweep) })
  expectSame(again.gainDb, curve.gainDb, 0.0005)
  expectSame(again.phaseDeg, curve.phaseDeg, 0.01)
  expectSame(again.uncertaintyDb, curve.uncertaintyDb, 0.0005)
  const stored = { ...impulse, samples: Float64Array.from(Float32Array.from(impulse.samples)) }
  expectSame(curveFromImpulse({ impulse: stored, sweep }).gainDb, curve.gainDb, 0.0005)
})

describe('finding the sweep', () => {
  test('wherever it stands, cut off at either end or not', () => {
    const noisy = addNoise({ recording: answer, sweep, offsetSamples: 0, snrDb: 20, seed: 8 })
    fc.assert(
      fc.property(fc.integer({ min: -80_000, max: 400_000 }), (offset) => {
        const recording = offset < 0 ? noisy.slice(-offset) : shifted(noisy, offset)
        const found = findSweep({ sweep, recording })
        // The search runs at an eighth to a sixteenth of the rate; the measurement sharpens it.
        return found !== null && Math.abs(found.offsetSamples - offset) < 60 && found.score > 0.3
      }),
      { numRuns: 12 },
    )
  })
  test('what is no sweep scores under a tenth', () => {
    const noise = addNoise({ recording: shifted(sweep.samples, 0), sweep, offsetSamples: 0, snrDb: -60, seed: 4 })
    expect(findSweep({ sweep, recording: noise })?.score).toBeLessThan(0.1)
    const tone = Float64Array.from({ length: 300_000 }, (_, i) => Math.sin(i / 7))
    expect(findSweep({ sweep, recording: tone })?.score).toBeLessThan(0.1)
  })
})

const sweepCache = new Map<string, SweepSignal>()
test('any filter, gain, rate and start offset comes back', () => {
  fc.assert(
    fc.property(
      fc.record({
        rateHz: fc.constantFrom(44_100, 48_000, 96_000),
        kind: fc.constantFrom('peak' as const, 'low-shelf' as const, 'high-shelf' as const),
        frequencyHz: fc.double({ min: 40, max: 9000, noNaN: true }),
        q: fc.double({ min: 0.4, max: 4, noNaN: true }),
        gainDb: fc.double({ min: -15, max: 15, noNaN: true }),
        levelDb: fc.double({ min: -40, max: 0, noNaN: true }),
        turned: fc.boolean(),
        offset: fc.integer({ min: 0, max: 60_000 }),
        durationS: fc.constantFrom(2, 5),
      }),
      ({ rateHz, kind, frequencyHz, q, gainDb, levelDb, turned, offset, durationS }) => {
        const key = `${rateHz} ${durationS}`
        const stimulus = sweepCache.get(key) ?? makeSweep({ ...defaultSweep, rateHz, durationS })
        sweepCache.set(key, stimulus)
        const one = section({ kind, frequencyHz, rateHz, q, gainDb })
        const gain = (turned ? -1 : 1) * 10 ** (levelDb / 20)
        const samples = shifted(
          applyFilter(stimulus.samples, { sos: toSos([one]) }).map((v) => v * gain),
          offset,
        )
        const { curve, polarity, offsetSamples } = measureRecording({
          sweep: stimulus,
          recording: asAudio(rateHz, samples),
        })
        expect(polarity).toBe(turned ? -1 : 1)
        expect(Math.abs((offsetSamples ?? -1) - offset)).toBeLessThanOrEqual(1)
        curve?.frequencyHz.forEach((f, i) => {
          expect(Math.abs(curve.gainDb[i] - levelDb - gainDbOf(one, f, rateHz)), `${f} Hz`).toBeLessThan(0.01)
        })
      },
    ),
    { numRuns: 25 },
  )
})

function toSos(sections: ReturnType<typeof section>[]): number[][] {
  return sections.map(({ b, a }) => [...b, 1, ...a])
}

/** |H| of a section on the unit circle, by definition. */
function gainDbOf({ b, a }: ReturnType<typeof section>, f: number, rateHz: number): number {
  const at = (c: readonly number[]) => {
    const angle = (2 * Math.PI * f) / rateHz
    const re = c.reduce((sum, v, k) => sum + v * Math.cos(k * angle), 0)
    const im = c.reduce((sum, v, k) => sum + v * Math.sin(k * angle), 0)
    return Math.hypot(re, im)
  }
  return 20 * Math.log10(at(b) / at([1, ...a]))
}
