import { describe, expect, test } from 'vitest'
import { mustBeCertain } from '../../src/response/curve/curve-on-grid.ts'
import { circuits, codesOf, measured, sweepOf, through } from './check-fixture.ts'
import { uniformDraws } from './seeded-noise.ts'
import { doubled, dropped, repeated, simulateRecording, zeroed } from './simulated-recording.ts'

const held = (samples: Float64Array, at: number, length: number) =>
  samples.slice().fill(samples[at - 1], at, at + length)
const kinds = { dropped, doubled, zeroed, repeated, held }
const pick = <T>(from: readonly T[], draw: () => number): T => from[Math.floor(draw() * from.length)]
const stimuli = [
  { rateHz: 44_100, durationS: 2, markers: true },
  { rateHz: 48_000, durationS: 4, markers: true },
  { rateHz: 96_000, durationS: 2, markers: true },
]

/** Where damage may lie: the run-in and the low end, the whole sweep, a marker, the gap before the sweep. */
function placeIn(sweep: ReturnType<typeof sweepOf>, length: number, draw: () => number): number {
  const [body] = sweep.bodies
  const share = draw()
  const within = (from: number, to: number) => Math.round(from + draw() * (to - from))
  if (share < 0.4) return within(body.startSample, body.startSample + 0.4 * (body.endSample - body.startSample))
  if (share < 0.7) return within(body.startSample, body.endSample)
  const [first, last] = sweep.markers
  return share < 0.85 ? within(first.endSample, body.startSample) : within(last.startSample, last.endSample - length)
}

describe('damage anywhere between the first marker and the last', () => {
  // Six runs of 150 takes with other seeds, of blocks to 40,000 samples: no usable recording had a curve that was moved.
  test('leaves no usable recording with a curve that was moved', () => {
    const draw = uniformDraws(52)
    const harmed: string[] = []
    for (let take = 0; take < 36; take++) {
      const sweep = sweepOf(pick(stimuli, draw))
      const { rateHz } = sweep
      // A board that lets nothing of the markers through shows a slip in the fade-in only where it moves the curve by more.
      const boards = Object.entries(circuits(rateHz)).filter(
        ([board]) => !board.includes('low-pass at 300') && !board.includes('low-pass at 1 kHz'),
      )
      const [name, sections] = pick(boards, draw)
      const kind = pick(Object.keys(kinds) as (keyof typeof kinds)[], draw)
      const length = pick([64, 100, 256, 1000, 4096, 12_000], draw)
      const conditions = {
        snrDb: pick([20, 40, 60, 80], draw),
        bits: pick([16, 24, 0], draw),
        gain: pick([0.05, 0.5], draw),
        lead: 4000 + Math.floor(20_000 * draw()),
        tail: Math.round(0.3 * rateHz),
        seed: take + 1,
      }
      const sound = simulateRecording({ stimulus: through(sweep, sections), ...conditions })
      const at = conditions.lead + placeIn(sweep, Math.min(length, 800), draw)
      const bad = measured({ sweep, channels: [kinds[kind](sound, at, length)] })
      if (!bad.usable) continue
      const clean = measured({ sweep, channels: [sound] })
      const counts = mustBeCertain(clean.curve!.gainDb)
      const moved = bad.curve!.gainDb.some(
        (gain, i) =>
          counts[i] && Math.abs(gain - clean.curve!.gainDb[i]) > Math.max(0.003, 3 * bad.curve!.uncertaintyDb[i]),
      )
      if (moved) harmed.push(`${kind} ${length} at ${at}, ${name}, ${JSON.stringify({ rateHz, ...conditions })}`)
    }
    expect(harmed).toEqual([])
  }, 300_000)

  test('an emptied, held or copied block in the run-in, under 20 Hz, is named', () => {
    const sweep = sweepOf({ durationS: 4 })
    const sound = simulateRecording({ stimulus: through(sweep, circuits(48_000)['coupling at 30 Hz']), snrDb: 60 })
    const start = 5000 + sweep.bodies[0].startSample
    for (const after of [9000, 12_000, 16_000])
      for (const length of [64, 256, 1000])
        for (const damage of [zeroed, repeated, held])
          expect(codesOf(measured({ sweep, channels: [damage(sound, start + after, length)] }), 'refuse')).toContain(
            'block-damaged',
          )
  }, 120_000)

  test('samples lost or doubled inside a marker, and a marker that is missing, are found', () => {
    const sweep = sweepOf({ durationS: 2 })
    const sound = simulateRecording({ stimulus: sweep.samples, snrDb: 60, tail: 20_000 })
    for (const marker of sweep.markers)
      for (const damaged of [
        dropped(sound, 5000 + marker.startSample + 450, 64),
        doubled(sound, 5000 + marker.startSample + 450, 64),
        dropped(sound, 5000 + marker.startSample - 10, 980),
      ])
        expect(codesOf(measured({ sweep, channels: [damaged] }), 'refuse')[0]).toMatch(/^block-/)
  })

  test('a gap of a quarter of a second and more is a slip with its length, with markers and without', () => {
    for (const markers of [true, false]) {
      const sweep = sweepOf({ durationS: 4, markers })
      const sound = simulateRecording({ stimulus: sweep.samples, snrDb: 60, tail: 20_000 })
      for (const length of [12_000, 30_000]) {
        const at = 5000 + sweep.bodies[0].startSample + 110_000
        for (const [way, words] of [
          [dropped, 'lost about'],
          [doubled, 'has about'],
        ] as const) {
          const findings = measured({ sweep, channels: [way(sound, at, length)] }).findings
          const slip = findings.find(({ code }) => code === 'block-slipped' || code === 'block-damaged')
          expect(slip?.severity, `${words} ${length}`).toBe('refuse')
          if (slip?.code === 'block-slipped') expect(slip.message).toContain(words)
        }
      }
    }
  }, 120_000)
})

describe('clean recordings at the edge of what a recorder resolves', () => {
  // 400 takes of another seed, and 300 with clocks up to 150 millionths apart: one alarm in all, in a recording without any
  // noise at 16 bits, after which the limit of the copies was doubled.
  test('without noise, quiet, at 16 bits and with hum raise no alarm of damage', () => {
    const draw = uniformDraws(61)
    const alarms: string[] = []
    for (let take = 0; take < 36; take++) {
      const sweep = sweepOf({ ...pick(stimuli, draw), repeats: pick([1, 2], draw) })
      const [name, sections] = pick(Object.entries(circuits(sweep.rateHz)), draw)
      const conditions = {
        snrDb: pick([undefined, undefined, 60, 100], draw),
        bits: 0,
        gain: pick([0.01, 0.05, 0.5], draw),
        lead: Math.floor(20_000 * draw()),
        seed: take + 1,
      }
      const humAmplitude = pick([0, 3e-5, 3e-4], draw)
      const offset = pick([0, 0.004], draw)
      const steps = 2 ** (pick([16, 16, 24], draw) - 1)
      const turn = (2 * Math.PI * 50.02) / sweep.rateHz
      const samples = simulateRecording({ stimulus: through(sweep, sections), ...conditions }).map(
        (v, i) => Math.round((v + humAmplitude * Math.sin(turn * i) + offset) * steps) / steps,
      )
      const codes = codesOf(measured({ sweep, channels: [samples] }), 'refuse')
      if (codes.some((code) => code.startsWith('block-') || code === 'clipped'))
        alarms.push(`${codes} ${name} ${JSON.stringify({ ...conditions, humAmplitude, offset, steps })}`)
    }
    expect(alarms).toEqual([])
  }, 300_000)
})
