import { appendFileSync, mkdirSync, readdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import type { RigDriver } from '../../src/audio/rig-driver.ts'
import { makeWatchedFolder } from '../../src/audio/watched-folder.ts'
import { SweepSettings } from '../../src/model/sweep.ts'
import { makeSweep } from '../../src/response/sweep/sweep.ts'
import { writeWave } from '../../src/response/wave/write-wave.ts'
import { temporaryFolder } from '../store/temporary-folder.ts'

const sweep = makeSweep(SweepSettings.parse({ durationS: 0.2 }))
const recording = (level: number): Uint8Array =>
  writeWave({ rateHz: 48_000, channels: [Float64Array.from({ length: 4000 }, () => level)], format: 'pcm16' })
const levelOf = (samples: Float64Array): number => Math.round(samples[100] * 100) / 100
const pause = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms))

const watch = (folder: string): RigDriver =>
  makeWatchedFolder({ folder, lookEveryMs: 10, settle: { completeMs: 40, stalledMs: 400 } })
const request = { serial: 'PLV-0042', setting: 'max', sweep }

test('waits for the recording of this unit and setting, reads it and moves it away', async () => {
  const folder = temporaryFolder()
  const activities: string[] = []
  const onProgress = (progress: { activity: string }) => activities.push(progress.activity)
  const run = watch(folder).run({ ...request, onProgress })
  writeFileSync(join(folder, 'PLV-0042-min.wav'), recording(0.1))
  writeFileSync(join(folder, 'PLV-0041-max.wav'), recording(0.2))
  writeFileSync(join(folder, 'PLV-0042-max.wav.part'), recording(0.3))
  await pause(100)
  writeFileSync(join(folder, 'PLV-0042-max.wav'), recording(0.4))
  const { audio, origin } = await run
  expect(levelOf(audio.channels[0])).toBe(0.4)
  expect(origin).toMatch(/^measured[/\\]PLV-0042-max-\d{8}T\d{9}Z\.wav$/)
  expect(readdirSync(folder).sort()).toEqual([
    'PLV-0041-max.wav',
    'PLV-0042-max.wav.part',
    'PLV-0042-min.wav',
    'measured',
  ])
  expect(activities[0]).toContain('PLV-0042-max.wav')
})

test('takes a name in small letters or capitals', async () => {
  const folder = temporaryFolder()
  writeFileSync(join(folder, 'plv-0042-MAX.Wav'), recording(0.4))
  expect(levelOf((await watch(folder).run(request)).audio.channels[0])).toBe(0.4)
})

test('a recording that grows in pieces is read when it is whole', async () => {
  const folder = temporaryFolder()
  const bytes = recording(0.4)
  const path = join(folder, 'PLV-0042-max.wav')
  const run = watch(folder).run(request)
  writeFileSync(path, '')
  // Pauses longer than a complete file needs to settle, shorter than a stalled one.
  for (let from = 0; from < bytes.length; from += 2500) {
    await pause(90)
    appendFileSync(path, bytes.subarray(from, from + 2500))
  }
  const { audio } = await run
  expect(audio.truncated).toBe(false)
  expect(audio.channels[0].length).toBe(4000)
})

test('a recording whose writer died is read after a while, and known to be cut off', async () => {
  const folder = temporaryFolder()
  writeFileSync(join(folder, 'PLV-0042-max.wav'), recording(0.4).subarray(0, 5000))
  const { audio } = await watch(folder).run(request)
  expect(audio.truncated).toBe(true)
  expect(audio.channels[0].length).toBeLessThan(4000)
})

test('the same name can be dropped again for the next run, and gives the new recording', async () => {
  const folder = temporaryFolder()
  for (const level of [0.1, 0.2]) {
    writeFileSync(join(folder, 'PLV-0042-max.wav'), recording(level))
    expect(levelOf((await watch(folder).run(request)).audio.channels[0])).toBe(level)
  }
  expect(readdirSync(join(folder, 'measured')).length).toBe(2)
})

test('a file that is no WAV is refused with its name', async () => {
  const folder = temporaryFolder()
  writeFileSync(join(folder, 'PLV-0042-max.wav'), 'this is a letter, not a sound, whatever its name says')
  await expect(watch(folder).run(request)).rejects.toMatchObject({
    code: 'not-a-wave-file',
    message: expect.stringContaining('PLV-0042-max.wav'),
  })
})

test('a folder of the name is not taken for a recording', async () => {
  const folder = temporaryFolder()
  mkdirSync(join(folder, 'PLV-0042-max.wav'))
  const stop = new AbortController()
  const run = watch(folder).run({ ...request, signal: stop.signal })
  await pause(100)
  stop.abort(new Error('the maker pressed escape'))
  await expect(run).rejects.toThrow('the maker pressed escape')
})

test('a folder that is not there is named', async () => {
  const folder = join(temporaryFolder(), 'nowhere')
  await expect(watch(folder).run(request)).rejects.toMatchObject({ code: 'file-not-readable' })
})

test('stops at once when it was told to before it began', async () => {
  const signal = AbortSignal.abort(new Error('stopped'))
  await expect(watch(temporaryFolder()).run({ ...request, signal })).rejects.toThrow('stopped')
})
