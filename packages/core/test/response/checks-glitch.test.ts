import type { SweepSignal } from '@boardwright/core'
import { describe, expect, test } from 'vitest'
import { circuits, codesOf, measured, sweepOf, through } from './check-fixture.ts'
import { uniformDraws } from './seeded-noise.ts'
import { doubled, dropped, repeated, simulateRecording, zeroed } from './simulated-recording.ts'

const kinds = { dropped, doubled, zeroed, repeated }
type Kind = keyof typeof kinds
const pick = <T>(from: readonly T[], draw: () => number): T => from[Math.floor(draw() * from.length)]

/** Circuits that leave the whole sweep above the noise: damage where there is no signal cannot be seen and does no harm. */
const fullBand = (name: string) => !name.includes('low-pass') && name !== 'high-pass at 1 kHz'

/** Samples from the start of a body to a frequency of its sweep. */
const timeOf = ({ rateHz, runInS, rateS }: SweepSignal, frequencyHz: number): number =>
  Math.round((runInS + (rateS ?? 0) * Math.log(frequencyHz / 20)) * rateHz)

/** Damages takes at random places of the sweep and counts how many are refused for it, by kind and by way. */
function detect(options: { seed: number; takes: number; markers: boolean; repeats: number; odd?: boolean }) {
  const draw = uniformDraws(options.seed)
  const counts: Record<string, { found: number; of: number }> = {}
  const missed: string[] = []
  for (let take = 0; take < options.takes; take++) {
    const rateHz = pick([44_100, 48_000, 48_000, 96_000], draw)
    const sweep = sweepOf({ rateHz, durationS: 3, markers: options.markers, repeats: options.repeats })
    const [name, sections] = pick(
      Object.entries(circuits(rateHz)).filter(([n]) => fullBand(n)),
      draw,
    )
    const kind = Object.keys(kinds)[take % 4] as Kind
    const length = options.odd ? 64 + Math.floor(3936 * draw()) : pick([64, 128, 256, 512, 1024], draw)
    const frequencyHz = 20 * 1000 ** draw()
    const lead = Math.floor(20_000 * draw())
    const at = lead + pick(sweep.bodies, draw).startSample + timeOf(sweep, frequencyHz)
    const conditions = {
      snrDb: pick([20, 40, 60, 80], draw),
      bits: pick([16, 24], draw),
      gain: pick([0.05, 0.5], draw),
    }
    const sound = simulateRecording({ stimulus: through(sweep, sections), lead, seed: take + 1, ...conditions })
    const codes = codesOf(measured({ sweep, channels: [kinds[kind](sound, at, length)] }), 'refuse')
    counts[kind] ??= { found: 0, of: 0 }
    counts[kind].of++
    if (codes.some((code) => code.startsWith('block-'))) counts[kind].found++
    else
      missed.push(
        `${kind} ${length} at ${frequencyHz.toFixed(0)} Hz, ${name}, ${rateHz} Hz, ${JSON.stringify(conditions)}`,
      )
  }
  return { counts, missed }
}

describe('a lost, doubled, emptied or repeated block', () => {
  test('is found every time when the sweep has markers', () => {
    expect(detect({ seed: 1, takes: 28, markers: true, repeats: 1 }).missed).toEqual([])
  }, 300_000)

  test('of any length from 64 to 4000 samples is found with markers', () => {
    expect(detect({ seed: 2, takes: 16, markers: true, repeats: 1, odd: true }).missed).toEqual([])
  }, 300_000)

  test('is found every time in repeats without markers', () => {
    expect(detect({ seed: 3, takes: 20, markers: false, repeats: 2 }).missed).toEqual([])
  }, 300_000)

  // Without markers and repeats a lost block can hide where a notch or a steep slope bends the phase at the same place.
  // Run once with another seed after the limits were set: 110 of 111 found. Here at most 2 of 40 may be missed.
  test('is found nearly every time in a single sweep without markers', () => {
    const { missed } = detect({ seed: 4, takes: 40, markers: false, repeats: 1 })
    expect(missed.length, missed.join('\n')).toBeLessThanOrEqual(2)
  }, 300_000)

  test('is named with its place and size', () => {
    const sweep = sweepOf({ markers: false })
    const at = 5000 + sweep.bodies[0].startSample + 150_000
    const sound = simulateRecording({ stimulus: sweep.samples, snrDb: 60 })
    const [lost] = measured({ sweep, channels: [dropped(sound, at, 300)] }).findings
    expect(lost).toMatchObject({ code: 'block-slipped', severity: 'refuse' })
    expect(lost.message).toMatch(/^The recording lost about (29|30)\d samples at \d\.\d\d s/)
    expect(Math.abs((lost.atS ?? 0) - at / 48_000)).toBeLessThan(0.02)
    const [empty] = measured({ sweep, channels: [zeroed(sound, at, 64)] }).findings
    expect(empty.message).toMatch(/^The recording is damaged at \d\.\d\d s: 6\d samples are zero\.$/)
    const played = sweep.samples.slice().fill(0, at - 5000, at - 5000 + 480)
    const [gap] = measured({ sweep, channels: [simulateRecording({ stimulus: played, snrDb: 60 })] }).findings
    expect(gap.message).toMatch(
      /^The recording is damaged at \d\.\d\d s: up to [12]\d(\.\d)? ms do not follow the sweep\.$/,
    )
    expect(Math.abs((gap.atS ?? 0) - at / 48_000)).toBeLessThan(0.02)
    const [copied] = measured({ sweep, channels: [repeated(sound, at, 100)] }).findings
    expect(copied.message).toMatch(/: 100 samples are a copy of earlier ones\.$/)
  })

  // The player lost a block and kept the time, or a contact crackled: board, noise and converter come after the damage, so
  // no sample gives it away. Run once with another seed and 150 takes after the limits were set; see the count beside it.
  test('in what was played is found as well, from 200 Hz up', () => {
    const draw = uniformDraws(77)
    const missed: string[] = []
    for (let take = 0; take < 40; take++) {
      const rateHz = pick([44_100, 48_000, 96_000], draw)
      const sweep = sweepOf({ rateHz, durationS: pick([2, 3, 5], draw), repeats: 1 })
      const [name, sections] = pick(
        Object.entries(circuits(rateHz)).filter(([n]) => fullBand(n)),
        draw,
      )
      const way = pick(['empty', 'held', 'played again'] as const, draw)
      const length = pick([64, 128, 256, 1024, 4096], draw)
      const frequencyHz = 200 * 80 ** draw()
      const at = sweep.bodies[0].startSample + timeOf(sweep, frequencyHz)
      const played = sweep.samples.slice()
      if (way === 'empty') played.fill(0, at, at + length)
      else if (way === 'held') played.fill(played[at - 1], at, at + length)
      else played.copyWithin(at, at - length, at)
      const stimulus = through({ ...sweep, samples: played }, sections)
      const conditions = { snrDb: pick([40, 60, 80], draw), bits: pick([16, 24], draw), gain: pick([0.05, 0.5], draw) }
      const samples = simulateRecording({ stimulus, seed: take + 1, ...conditions })
      const codes = codesOf(measured({ sweep, channels: [samples] }), 'refuse')
      if (!codes.some((code) => code.startsWith('block-')))
        missed.push(`${way} ${length} at ${frequencyHz.toFixed(0)} Hz, ${name}, ${rateHz} Hz, ${conditions.snrDb} dB`)
    }
    expect(missed.length, missed.join('\n')).toBeLessThanOrEqual(2)
  }, 300_000)

  test('a filter that takes the markers away proves nothing against a recording', () => {
    const sweep = sweepOf({ markers: true })
    for (const name of ['low-pass at 300 Hz', 'steep low-pass at 1 kHz']) {
      const samples = simulateRecording({ stimulus: through(sweep, circuits(48_000)[name]), snrDb: 60, gain: 0.5 })
      expect(codesOf(measured({ sweep, channels: [samples] }), 'refuse')).toEqual([])
    }
  })
})
