import { spawn } from 'node:child_process'
import { setTimeout as delay } from 'node:timers/promises'
import { isRefused, measureRecording } from '@boardwright/core'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { children, playing, request, rigOn, sweep } from './rig-on-server.ts'
import { type SoundServer, startSoundServer } from './sound-server.mjs'

// What goes wrong in the middle of a sweep ends soon, in one sentence, with no program left behind.

let server: SoundServer
beforeEach(async () => {
  server = await startSoundServer()
})
afterEach(async () => {
  await server?.stop()
  expect(children(), 'a program was left behind').toEqual([])
})

/** Runs a sweep, does something in the middle of it, and gives what the promise was rejected with, and how soon. */
async function breakIn(doing: () => void, changes: Parameters<typeof rigOn>[1] = {}, signal?: AbortSignal) {
  const run = rigOn(server, changes).run({ ...request, signal })
  const outcome = run.then(
    () => new Error('it went through'),
    (reason) => reason,
  )
  await playing(800)
  const beganMs = performance.now()
  doing()
  const error = await outcome
  return { error, tookMs: performance.now() - beganMs }
}
/** Long before the sweep would have ended by itself, and the driver would have waited for the programs. */
const soonMs = 1500

test('the sound server is killed', async () => {
  const { error, tookMs } = await breakIn(() => server.kill())
  expect(error).toMatchObject({ code: 'rig-failed', message: 'The sound stopped: the sound server stopped.' })
  expect(error.remedy).not.toBe('')
  expect(tookMs).toBeLessThan(soonMs)
})

test.each([
  ['output', (module: number, _: number) => module],
  ['input', (_: number, module: number) => module],
])('the %s is unplugged: the sound does not go on elsewhere', async (_, which) => {
  const sink = server.load(server.nullSink('usb', 48_000))
  const source = server.load(server.input('usb_in', 'usb'))
  const devices = { output: { device: 'usb' }, input: { device: 'usb_in' } }
  const { error, tookMs } = await breakIn(() => {
    server.control('unload-module', String(which(sink, source)))
  }, devices)
  expect(error).toMatchObject({ code: 'rig-failed' })
  expect(error.message).toMatch(/^The sound stopped: the (device went away|device is no longer there|sound server)/)
  expect(tookMs).toBeLessThan(soonMs)
})

test('the output is muted, or its volume is changed', async () => {
  const muted = await breakIn(() => server.control('set-sink-mute', 'rig', '1'))
  expect(muted.error).toMatchObject({
    code: 'device-changed',
    message: 'The output "rig" was muted during the sweep.',
  })
  server.control('set-sink-mute', 'rig', '0')
  const turned = await breakIn(() => server.control('set-sink-volume', 'rig', '80%'))
  expect(turned.error).toMatchObject({
    code: 'device-changed',
    message: 'The output "rig" was set to a volume of 80 % during the sweep.',
  })
})

test('a stop silences the player at once', async () => {
  // A second recorder hears what the output really plays.
  const words = ['--record', '--raw', '--format=float32le', '--rate=48000', '--channels=2', '--latency-msec=20']
  const ear = spawn('pacat', [...words, '--device=rig.monitor'], { env: server.environment })
  let lastSoundMs = 0
  let heard = false
  ear.stdout.on('data', (chunk: Buffer) => {
    for (let at = 0; at + 4 <= chunk.length; at += 4)
      if (Math.abs(chunk.readFloatLE(at)) > 1e-4) {
        lastSoundMs = performance.now()
        heard = true
        break
      }
  })
  const stop = new AbortController()
  const reason = new Error('stopped at the bench')
  let stoppedMs = 0
  const { error, tookMs } = await breakIn(
    () => {
      stoppedMs = performance.now()
      stop.abort(reason)
    },
    {},
    stop.signal,
  )
  expect(error).toBe(reason)
  expect(tookMs).toBeLessThan(soonMs)
  await delay(500)
  ear.kill('SIGKILL')
  await new Promise((resolve) => ear.on('close', resolve))
  expect(heard).toBe(true)
  // The server's own buffer of the output (50 ms) and the ear's; 500 ms stood in the player's.
  expect(lastSoundMs - stoppedMs).toBeLessThan(400)
})

test('a stop before the start starts nothing', async () => {
  const signal = AbortSignal.abort(new Error('no'))
  await expect(rigOn(server).run({ ...request, signal })).rejects.toThrow('no')
})

/** Stops the player for longer than it works ahead, as a computer that is busy does. */
async function stumble(): Promise<void> {
  const { pid } = await playing(1000)
  process.kill(pid, 'SIGSTOP')
  await delay(900)
  process.kill(pid, 'SIGCONT')
}

test('a sweep with a gap is played again by itself', async () => {
  const activities = new Set<string>()
  const onProgress = ({ activity }: { activity: string }) => activities.add(activity)
  const run = rigOn(server).run({ ...request, onProgress })
  await stumble()
  const { audio, origin } = await run
  expect(origin).toMatch(/, played [23] times$/)
  expect([...activities]).toContain('a block was lost, playing the sweep again (1 of 2)')
  expect(measureRecording({ sweep, recording: audio }).findings).toEqual([])
})

test('a sweep that has a gap each time is handed over after the third, and the checks refuse it', async () => {
  let ended = false
  const run = rigOn(server)
    .run(request)
    .finally(() => {
      ended = true
    })
  const seen = new Set<number>()
  while (!ended) {
    const player = children().find(({ pid, words }) => words.includes('--playback') && !seen.has(pid))
    if (player) {
      seen.add(player.pid)
      await stumble()
    }
    await delay(20)
  }
  const { audio, origin } = await run
  expect(seen.size).toBe(3)
  expect(origin).toMatch(/, played 3 times$/)
  expect(isRefused(measureRecording({ sweep, recording: audio }).findings)).toBe(true)
})
