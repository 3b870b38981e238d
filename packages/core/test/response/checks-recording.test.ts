import { describe, expect, test } from 'vitest'
import { circuits, codesOf, measured, sweepOf, through } from './check-fixture.ts'
import { normalDraws } from './seeded-noise.ts'
import { simulateRecording } from './simulated-recording.ts'

const sweep = sweepOf()
const rateHz = 48_000
const sound = (change: Partial<Parameters<typeof simulateRecording>[0]> = {}) =>
  simulateRecording({ stimulus: sweep.samples, snrDb: 70, gain: 0.8, ...change })
const noise = (length: number, rms: number, seed = 3) => {
  const draw = normalDraws(seed)
  return Float64Array.from({ length }, () => rms * draw())
}
const tone = (samples: Float64Array, frequencyHz: number, amplitude: number) =>
  samples.map((v, i) => v + amplitude * Math.sin((2 * Math.PI * frequencyHz * i) / rateHz))

describe('a recording that proves nothing is refused with one clear sentence', () => {
  test('wrong rate', () => {
    const measurement = measured({ sweep, channels: [sound()], rateHz: 44_100 })
    expect(measurement.findings).toHaveLength(1)
    expect(measurement.findings[0]).toMatchObject({ code: 'wrong-rate', severity: 'refuse' })
    expect(measurement.findings[0].message).toBe('The recording runs at 44.1 kHz, but the sweep was made for 48 kHz.')
  })

  test('silence: nothing at all, and the hiss of an interface', () => {
    const [digital] = measured({ sweep, channels: [new Float64Array(400_000)] }).findings
    expect(digital).toMatchObject({ code: 'silent', severity: 'refuse' })
    expect(digital.message).toMatch(/not one sample differs from zero\): is the board powered, are the pins down\?$/)
    const [hiss] = measured({ sweep, channels: [noise(400_000, 1e-5)] }).findings
    expect(hiss.message).toMatch(/^The recording is silent \(peak −8\d\.\d dBFS\)/)
    // Crosstalk from a board without power: the sweep is there, 70 dB under what was played.
    expect(codesOf(measured({ sweep, channels: [sound({ gain: 10 ** (-70 / 20) })] }))).toEqual(['silent'])
  })

  test('too short, and cut off at either end', () => {
    const whole = sound()
    expect(codesOf(measured({ sweep, channels: [whole.slice(0, 100_000)] }))).toEqual(['too-short'])
    const start = 5000 + sweep.bodies[0].startSample
    const late = measured({
      sweep,
      channels: [Float64Array.from([...whole.subarray(start + 24_000), ...noise(30_000, 1e-5)])],
    })
    expect(codesOf(late, 'refuse')).toEqual(['cut-off'])
    expect(late.findings[0].message).toMatch(/^The recording begins (499|500|501) ms after the sweep did\.$/)
    const end = 5000 + sweep.bodies[0].endSample
    const early = measured({
      sweep,
      channels: [Float64Array.from([...noise(20_000, 1e-5), ...whole.subarray(0, end - 12_000)])],
      truncated: true,
    })
    expect(early.findings[0].message).toMatch(
      /^The recording ends (249|250|251) ms before the sweep does \(the file itself is cut short\)\.$/,
    )
  })

  test('another sound altogether', () => {
    for (const [seed, level] of [
      [1, 0.1],
      [2, 0.01],
    ]) {
      const measurement = measured({ sweep, channels: [noise(400_000, level, seed)] })
      expect(codesOf(measurement)).toEqual(['sweep-not-found'])
      expect(measurement.usable).toBe(false)
    }
    expect(codesOf(measured({ sweep, channels: [tone(noise(400_000, 0.001), 440, 0.3)] }))).toEqual(['sweep-not-found'])
    const other = sweepOf({ durationS: 3, fromHz: 40, toHz: 10_000 })
    const wrong = simulateRecording({ stimulus: other.samples, lead: 60_000, tail: 60_000, snrDb: 60 })
    expect(codesOf(measured({ sweep, channels: [wrong] }))).toEqual(['sweep-not-found'])
  })

  test('clipping at full scale, with count and place', () => {
    const measurement = measured({ sweep, channels: [sound({ gain: 2.5, snrDb: 90 })] })
    const [clipped] = measurement.findings
    expect(clipped).toMatchObject({ code: 'clipped', severity: 'refuse' })
    expect(clipped.message).toMatch(
      /^The recording is clipped: \d{4,} samples at full scale, the first at \d\.\d\d s\.$/,
    )
    const brief = sound()
    for (let i = 100_000; i < 100_004; i++) brief[i] = 1
    expect(
      measured({ sweep, channels: [brief] })
        .findings.map((f) => f.message)
        .join(),
    ).toMatch(/clipped: 4 samples/)
  })

  test('peaks above full scale in a file of floating-point samples are kept, not clipped', () => {
    const loud = sound({ gain: 0.9 }).map((v) => 4 * v)
    expect(loud.some((v) => v > 1.5)).toBe(true)
    const measurement = measured({ sweep, channels: [loud] })
    expect(codesOf(measurement)).toEqual([])
    expect(measurement.usable).toBe(true)
  })

  test.each([
    ['both', (v: number) => Math.max(-0.3, Math.min(0.3, v)), /tops and bottoms .* cut flat at −1\d\.\d dBFS/],
    ['positive', (v: number) => Math.min(0.3, v), /The tops of/],
    ['negative', (v: number) => Math.max(-0.3, v), /The bottoms of/],
  ] as const)('tops cut flat below full scale: %s', (_, polynomial, message) => {
    for (const snrDb of [40, 80, 120]) {
      const { findings } = measured({ sweep, channels: [sound({ polynomial, snrDb, gain: 0.8 })] })
      expect(findings[0]).toMatchObject({ code: 'clipped', severity: 'refuse' })
      expect(findings[0].message).toMatch(message)
    }
  })

  test('no signal on the loop-back, and channels the wrong way round', () => {
    const board = simulateRecording({
      stimulus: through(sweep, circuits(rateHz)['boost of bass and treble']),
      gain: 0.5,
      snrDb: 70,
    })
    const cable = sound({ seed: 9 })
    expect(codesOf(measured({ sweep, channels: [board, cable], loopBackChannel: 1 }), 'refuse')).toEqual([])
    const swapped = measured({ sweep, channels: [cable, board], loopBackChannel: 1 })
    expect(codesOf(swapped, 'refuse')).toContain('channel-swapped')
    expect(swapped.findings[0].message).toMatch(/channel 1 carries the sweep itself, channel 2 the answer of the board/)
    const missing = measured({ sweep, channels: [board, noise(board.length, 1e-5)], loopBackChannel: 1 })
    expect([missing.usable, codesOf(missing)]).toEqual([false, ['loop-back-missing']])
    // A board at its flat setting looks like a cable: two cables are not swapped.
    expect(codesOf(measured({ sweep, channels: [sound(), cable], loopBackChannel: 1 }))).toEqual([])
  })
})

describe('what is worth knowing, and when it becomes a reason to refuse', () => {
  test('polarity turned is a note', () => {
    const measurement = measured({ sweep, channels: [sound().map((v) => -v)] })
    expect(codesOf(measurement, 'note')).toEqual(['polarity-turned'])
    expect(measurement.usable).toBe(true)
  })

  test('an offset is a note from half a per cent on, and refused when it eats the headroom', () => {
    const at = (offset: number, gain = 0.8) =>
      measured({ sweep, channels: [sound({ gain }).map((v) => Math.min(0.9999, v + offset))] })
    expect(codesOf(at(0.004))).toEqual([])
    expect(at(-0.01).findings).toMatchObject([{ code: 'dc-offset', severity: 'note' }])
    expect(at(-0.01).findings[0].message).toBe('The recording rests at −1 % of full scale instead of zero.')
    expect(codesOf(at(0.12), 'refuse')).toEqual(['dc-offset'])
    expect(codesOf(at(0.04, 1.85), 'refuse')).toEqual(['dc-offset'])
  })

  test.each([50, 60])('hum of %i Hz: silent, noted, refused when it is not steady', (mainsHz) => {
    const at = (amplitude: number, unrest = 0) => {
      const samples = sound({ snrDb: 80 }).map((v, i) => {
        const level = amplitude * (1 + unrest * Math.sin((2 * Math.PI * 0.7 * i) / rateHz))
        return v + level * Math.sin((2 * Math.PI * mainsHz * i) / rateHz)
      })
      return measured({ sweep, channels: [tone(samples, 3 * mainsHz, amplitude / 2)] })
    }
    expect(codesOf(at(1e-5))).toEqual([])
    const noted = at(2e-4)
    expect(noted.findings).toMatchObject([{ code: 'mains-hum', severity: 'note' }])
    expect(noted.findings[0].message).toContain(`${mainsHz} Hz mains hum in the recording (−73.`)
    expect(codesOf(at(0.03))).toEqual(['mains-hum'])
    expect(at(0.03).usable).toBe(true)
    const refused = at(0.03, 0.3)
    expect(codesOf(refused, 'refuse')).toEqual(['mains-hum'])
    expect(refused.findings[0].message).toContain('it is not steady')
  })

  test('every finding has a remedy that says what to do', () => {
    const all = [
      measured({ sweep, channels: [sound({ gain: 2.5 })] }),
      measured({ sweep, channels: [noise(400_000, 0.1)] }),
      measured({ sweep, channels: [new Float64Array(9)] }),
      measured({ sweep, channels: [sound().map((v) => 0.02 - v)] }),
    ].flatMap((m) => m.findings)
    expect(all.length).toBeGreaterThanOrEqual(5)
    for (const finding of all) expect(finding.remedy).toMatch(/^[A-Z].{20,}\.$/)
  })
})
