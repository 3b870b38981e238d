import { mkdtempSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { findSoundSystem } from '@boardwright/core/audio'
import { afterAll, afterEach, beforeAll, expect, test } from 'vitest'
import { children, request, rigOn, sweepAt } from './rig-on-server.ts'
import { type SoundServer, startSoundServer } from './sound-server.mjs'

// What would spoil a measurement without a word is refused before the first sound.

let server: SoundServer
beforeAll(async () => {
  server = await startSoundServer()
})
afterAll(() => server?.stop())

let played = ''
afterEach(() => {
  expect(children(), 'a program was left behind').toEqual([])
})

/** What the promise is rejected with; also proves that no player was started meanwhile. */
async function refusalOf(rig: ReturnType<typeof rigOn>, what: Partial<typeof request> = {}) {
  played = ''
  const looking = setInterval(() => {
    played ||= children().find(({ words }) => words.includes('--playback'))?.words ?? ''
  }, 5)
  const error = await rig.run({ ...request, ...what }).then(
    () => new Error('it was not refused'),
    (reason) => reason,
  )
  clearInterval(looking)
  expect(played).toBe('')
  return { code: error.code, message: error.message, remedy: error.remedy }
}

test('an output at half volume', async () => {
  server.control('set-sink-volume', 'rig', '50%')
  const { code, message } = await refusalOf(rigOn(server))
  server.control('set-sink-volume', 'rig', '100%')
  expect({ code, message }).toEqual({
    code: 'device-volume',
    message: 'The volume of the output "rig" is 50 % instead of 100 %.',
  })
})

test('one channel of an input that is turned up', async () => {
  server.control('set-source-volume', 'rig_in', '100%', '120%')
  const { code, message } = await refusalOf(rigOn(server))
  server.control('set-source-volume', 'rig_in', '100%')
  expect({ code, message }).toEqual({
    code: 'device-volume',
    message: 'The volume of the input "rig_in" is 120 % instead of 100 %.',
  })
})

test.each([
  ['output', 'set-sink-mute', 'rig'],
  ['input', 'set-source-mute', 'rig_in'],
])('a muted %s', async (direction, command, device) => {
  server.control(command, device, '1')
  const { code, message } = await refusalOf(rigOn(server))
  server.control(command, device, '0')
  expect({ code, message }).toEqual({ code: 'device-muted', message: `The ${direction} "${device}" is muted.` })
})

test('a device that runs at another rate', async () => {
  const rig = rigOn(server, { output: { device: 'rig96' } })
  expect(await refusalOf(rig)).toMatchObject({
    code: 'device-rate',
    message: 'The output "rig96" runs at 96000 Hz, the rig at 48000 Hz.',
  })
})

test('a sweep for another rate than that of the rig', async () => {
  expect(await refusalOf(rigOn(server), { sweep: sweepAt(96_000) })).toMatchObject({
    code: 'device-rate',
    message: 'The sweep is made for 96000 Hz, the rig runs at 48000 Hz.',
  })
})

test('a device of 16 bits, unless the rig allows it', async () => {
  const devices = { rateHz: 44_100, output: { device: 'rig44' }, input: { device: 'rig44_in' } }
  const sweep = sweepAt(44_100)
  expect(await refusalOf(rigOn(server, devices), { sweep })).toMatchObject({
    code: 'device-format',
    message: 'The output "rig44" takes 16 bits, the rig wants 24.',
  })
  const { audio } = await rigOn(server, { ...devices, leastBits: 16 }).run({ ...request, sweep })
  expect(audio.rateHz).toBe(44_100)
})

test('a device that is not there', async () => {
  const { code, message } = await refusalOf(rigOn(server, { input: { device: 'scribe' } }))
  expect(code).toBe('device-missing')
  expect(message).toContain('The input "scribe" of the rig is not there; there are: ')
  expect(message).toContain('rig_in')
})

test('a channel that the device does not have', async () => {
  expect(await refusalOf(rigOn(server, { output: { channel: 2 } }))).toMatchObject({
    code: 'device-missing',
    message: 'The output "rig" has 2 channel(s), none with number 3.',
  })
})

test('a sweep that is louder than the limit', async () => {
  expect(await refusalOf(rigOn(server, { maxLevelDbfs: -20 }))).toMatchObject({
    code: 'level-too-high',
    message: 'The sweep reaches -12.0 dBFS; the rig may play -20 dBFS at most.',
  })
})

test('a computer without any sound system', async () => {
  const nowhere = mkdtempSync(join(tmpdir(), 'boardwright-none-'))
  await expect(findSoundSystem({ environment: { PATH: nowhere, HOME: nowhere } })).rejects.toMatchObject({
    code: 'no-sound-system',
  })
  const environment = { ...server.environment, PULSE_SERVER: `unix:${nowhere}/native` }
  await expect(findSoundSystem({ family: 'pulseaudio', environment })).rejects.toMatchObject({
    code: 'no-sound-system',
    message: 'The sound system PulseAudio (pacat) is not installed or not running.',
  })
})
