import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { checkContact, makeContactTone, measureRecording, toneLevels, type WaveAudio } from '@boardwright/core'
import { findSoundSystem } from '@boardwright/core/audio'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { equaliserOffLine } from './equaliser-off-line.ts'
import { children, request, rigOn, sweep, sweepAt } from './rig-on-server.ts'
import { equalisers, type SoundServer, startSoundServer } from './sound-server.mjs'

// A real sound server with null sinks. What goes out must come back sample for sample, to the rounding of 32-bit floats.
const floatStep = 2 ** -24

let server: SoundServer
beforeAll(async () => {
  server = await startSoundServer()
})
afterAll(() => server?.stop())

/** Largest difference between what was played and what was recorded, at the place where the sweep was found. */
function worstDifference(audio: WaveAudio, played: Float64Array, offset: number): number {
  let worst = 0
  for (let i = 0; i < played.length; i++) worst = Math.max(worst, Math.abs(audio.channels[0][offset + i] - played[i]))
  return worst
}

test('the devices are listed with channels, rate, format, volume and mute', async () => {
  const system = await findSoundSystem({ family: 'pulseaudio', environment: server.environment })
  const devices = await system.listDevices()
  expect(devices.find((d) => d.name === 'rig96' && d.direction === 'output')).toMatchObject({
    channels: 2,
    rateHz: 96_000,
    sampleFormat: 'float32le',
    bits: 24,
    volume: 1,
    muted: false,
  })
  expect(devices.find((d) => d.name === 'rig44_in' && d.direction === 'input')).toMatchObject({
    rateHz: 44_100,
    bits: 16,
  })
})

test('without asking for one, the first sound system that answers is taken', async () => {
  const nowhere = mkdtempSync(join(tmpdir(), 'boardwright-none-'))
  // No PipeWire can listen in an empty folder, so PulseAudio comes next.
  const environment = { ...server.environment, XDG_RUNTIME_DIR: nowhere, PIPEWIRE_RUNTIME_DIR: nowhere }
  expect((await findSoundSystem({ environment })).family).toBe('pulseaudio')
  rmSync(nowhere, { recursive: true })
})

test('three recordings in a row are the sweep, sample for sample', async () => {
  const rig = rigOn(server)
  const activities = new Set<string>()
  const fractions: number[] = []
  for (let run = 0; run < 3; run++) {
    const { audio, origin } = await rig.run({
      ...request,
      onProgress: ({ fraction, activity }) => {
        activities.add(activity)
        fractions.push(fraction)
      },
    })
    const { usable, findings, offsetSamples } = measureRecording({ sweep, recording: audio })
    expect({ usable, findings }).toEqual({ usable: true, findings: [] })
    expect(worstDifference(audio, sweep.samples, offsetSamples!)).toBeLessThanOrEqual(floatStep)
    expect(audio).toMatchObject({ rateHz: 48_000, truncated: false })
    expect(origin).toContain('max')
  }
  expect(activities).toContain('playing the sweep')
  expect(activities).toContain('recorded')
  expect(fractions.every((f) => f >= 0 && f <= 1)).toBe(true)
  expect(children()).toEqual([])
})

test('96 kHz goes through as it is', async () => {
  const fast = sweepAt(96_000)
  const rig = rigOn(server, { rateHz: 96_000, output: { device: 'rig96' }, input: { device: 'rig96_in' } })
  const { audio } = await rig.run({ ...request, sweep: fast })
  const { findings, offsetSamples } = measureRecording({ sweep: fast, recording: audio })
  expect(findings).toEqual([])
  expect(worstDifference(audio, fast.samples, offsetSamples!)).toBeLessThanOrEqual(floatStep)
})

test('a channel plays and records alone: nothing is mixed', async () => {
  const rig = rigOn(server, { output: { channel: 1 }, input: { channel: 0, loopBackChannel: 1 } })
  const { audio } = await rig.run(request)
  expect(audio.channels).toHaveLength(2)
  expect(audio.channels[0].every((x) => x === 0)).toBe(true)
  const { offsetSamples } = measureRecording({ sweep, recording: audio, channel: 1 })
  const second = { ...audio, channels: [audio.channels[1]] }
  expect(worstDifference(second, sweep.samples, offsetSamples!)).toBeLessThanOrEqual(floatStep)
})

test('the contact tone comes back in a recording of less than a second, and tells the level of each tone', async () => {
  const tone = makeContactTone({ rateHz: 48_000 })
  const { channels } = await rigOn(server).record(tone)
  expect(channels[0].length / 48_000).toBeLessThan(1)
  const found = toneLevels({ ...tone, samples: channels[0] })
  for (const { amplitude } of found!.tones) expect(amplitude / tone.amplitude).toBeCloseTo(1, 4)
  const wire = { kind: 'ok', words: 'a wire', gainDb: [0, 0, 0], spreadDb: 1, weight: 1 } as const
  const { kind } = checkContact({ tone, recording: channels[0], states: [wire] })
  expect(kind).toBe('ok')
})

describe.each(Object.entries(equalisers))('the equaliser %s', (device, gains) => {
  test('is measured to 0.05 dB', async () => {
    const { audio } = await rigOn(server, { output: { device } }).run(request)
    const { curve, findings } = measureRecording({ sweep, recording: audio })
    expect(findings).toEqual([])
    const gainDbAt = equaliserOffLine(gains)
    const errors = curve!.frequencyHz.map((f, i) => Math.abs(curve!.gainDb[i] - gainDbAt(f)))
    // The issue asks for 0.05 dB.
    expect(Math.max(...errors)).toBeLessThan(0.05)
    // It is a filter indeed: a wire would fail here.
    expect(Math.max(...curve!.gainDb) - Math.min(...curve!.gainDb)).toBeGreaterThan(5)
  })
})
