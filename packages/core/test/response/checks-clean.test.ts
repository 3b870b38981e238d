import { describe, expect, test } from 'vitest'
import { circuits, codesOf, measured, sweepOf, through } from './check-fixture.ts'
import { hummed } from './hum-fixture.ts'
import { uniformDraws } from './seeded-noise.ts'
import { simulateRecording } from './simulated-recording.ts'

/** Gentle to strong bends of the wave; all rise over the whole range, as a sound amplifier does. */
const bends = [
  undefined,
  undefined,
  (x: number) => x + 0.02 * x * x,
  (x: number) => x + 0.1 * x * x + 0.05 * x ** 3,
  (x: number) => x - 0.3 * x ** 3,
]

/** Rates, lengths, markers and repeats in turn; a stimulus that is used again costs a third of a new one. */
const stimuli = [
  { rateHz: 44_100, durationS: 2, markers: true, repeats: 1 },
  { rateHz: 44_100, durationS: 3, markers: false, repeats: 2 },
  { rateHz: 44_100, durationS: 4, markers: false, repeats: 1 },
  { rateHz: 48_000, durationS: 2, markers: false, repeats: 1 },
  { rateHz: 48_000, durationS: 2, markers: true, repeats: 2 },
  { rateHz: 48_000, durationS: 3, markers: false, repeats: 1 },
  { rateHz: 48_000, durationS: 4, markers: true, repeats: 1 },
  { rateHz: 96_000, durationS: 2, markers: false, repeats: 2 },
  { rateHz: 96_000, durationS: 3, markers: true, repeats: 1 },
  { rateHz: 96_000, durationS: 4, markers: false, repeats: 1 },
]

const pick = <T>(from: readonly T[], draw: () => number): T => from[Math.floor(draw() * from.length)]

describe('clean recordings', () => {
  // Only noise and hum that are really there, and the turn of an all-pass, may be found. 60 takes here; 300 takes of
  // another seed, run once after the limits were set, raised none either.
  test('raise no false alarm, whatever the circuit, noise, hum, distortion, clock, rate and resolution', () => {
    const draw = uniformDraws(2026)
    const alarms: string[] = []
    for (let take = 0; take < 60; take++) {
      const settings = pick(stimuli, draw)
      const { rateHz } = settings
      const sweep = sweepOf(settings)
      const [name, sections] = pick(Object.entries(circuits(rateHz)), draw)
      const conditions = {
        gain: pick([0.02, 0.2, 0.8], draw),
        snrDb: pick([20, 30, 40, 60, 80, 120], draw),
        bits: pick([16, 24, 0], draw),
        polynomial: pick(bends, draw),
        ppm: draw() < 0.15 ? 100 * (draw() - 0.5) : 0,
        lead: Math.floor(20_000 * draw()),
        seed: take + 1,
      }
      const humDbfs = pick([undefined, undefined, -70, -50], draw)
      const sound = simulateRecording({ stimulus: through(sweep, sections), ...conditions })
      const samples = humDbfs ? hummed(sound, rateHz, { mainsHz: 50.03, levelDbfs: humDbfs }) : sound
      const { findings } = measured({ sweep, channels: [samples] })
      const expected = ['too-noisy', 'polarity-turned', ...(humDbfs ? ['mains-hum'] : [])]
      // A second clock is told only where there is one, and by how much.
      if (conditions.ppm !== 0) expected.push('clock-drift')
      const told = /runs (\d+) millionths/.exec(findings.find(({ code }) => code === 'clock-drift')?.message ?? '')
      if (told && Math.abs(Number(told[1]) - Math.abs(conditions.ppm)) > 1.5)
        alarms.push(`${told[0]}, not ${conditions.ppm}`)
      for (const finding of findings)
        if (!expected.includes(finding.code) || (finding.code === 'mains-hum' && finding.severity === 'refuse'))
          alarms.push(
            `${finding.code}: ${finding.message} (${name}, ${JSON.stringify({ ...settings, ...conditions, humDbfs })})`,
          )
    }
    expect(alarms).toEqual([])
  }, 300_000)

  test('a steady hum as loud as the board makes no damage of a good recording', () => {
    const multiples = [1, 0.32, 0.56, 0, 0.18, 0, 0.1]
    for (const mainsHz of [50, 60])
      for (const levelDbfs of [-60, -45, -30])
        for (const name of ['wire', 'coupling at 30 Hz', 'boost of bass and treble']) {
          const sweep = sweepOf({ durationS: 5 })
          const conditions = { gain: 0.1, snrDb: 75, lead: 17_760, tail: 24_000 }
          const sound = simulateRecording({ stimulus: through(sweep, circuits(48_000)[name]), ...conditions })
          const samples = hummed(sound, 48_000, { mainsHz, levelDbfs, multiples })
          expect(codesOf(measured({ sweep, channels: [samples] })), `${mainsHz} Hz ${levelDbfs} ${name}`).toEqual([
            'mains-hum',
          ])
        }
  }, 300_000)

  test('noise is found where it matters: at 0 dB signal-to-noise, not at 20 dB', () => {
    const sweep = sweepOf()
    const at = (snrDb: number) =>
      measured({ sweep, channels: [simulateRecording({ stimulus: sweep.samples, snrDb, gain: 0.2 })] })
    expect(codesOf(at(20))).toEqual([])
    const noisy = at(0)
    expect(codesOf(noisy, 'refuse')).toEqual(['too-noisy'])
    expect(noisy.findings[0].message).toMatch(
      /^The recording is too noisy: at .*Hz the gain is only known within 0\.\d\d dB/,
    )
    expect(noisy.usable).toBe(false)
  })

  test('a deep stop-band is no reason to refuse', () => {
    const sweep = sweepOf()
    const sections = circuits(48_000)['steep low-pass at 1 kHz']
    const samples = simulateRecording({ stimulus: through(sweep, sections), snrDb: 80, gain: 0.5 })
    expect(codesOf(measured({ sweep, channels: [samples] }), 'refuse')).toEqual([])
  })
})
