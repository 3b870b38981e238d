import { mkdtempSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { checkDevices, needUnchanged } from '../../src/audio/check-devices.ts'
import { runProgram } from '../../src/audio/run-program.ts'
import { unknownDevice } from '../../src/audio/sound-device.ts'
import { SoundProcess } from '../../src/audio/sound-process.ts'
import { RigSettings } from '../../src/model/rig.ts'

const settings = RigSettings.parse({
  version: 1,
  changedAt: '2026-03-02T08:00:00Z',
  output: { device: 'wren' },
  input: { device: 'wren', loopBackChannel: 1 },
})
const output = { ...unknownDevice('wren', 'output'), channels: 2 }
const input = { ...unknownDevice('wren', 'input'), channels: 2 }

test('what a system does not tell is not refused; a device that it cannot list may still be there', () => {
  expect(checkDevices(settings, [output, input])).toEqual({ output, input })
  expect(() => checkDevices(settings, [input])).toThrow('the computer has no output at all')
  expect(checkDevices(settings, [], { listsAll: false }).output).toEqual(unknownDevice('wren', 'output'))
})

test('the loop-back needs a channel of its own', () => {
  const mono = { ...input, channels: 1 }
  expect(() => checkDevices(settings, [output, mono])).toThrow('has 1 channel(s), none with number 2')
})

test('a device that went away during the sweep, or came back with another rate', () => {
  const before = { output: { ...output, rateHz: 48_000 }, input }
  expect(() => needUnchanged(before, [before.output, input])).not.toThrow()
  expect(() => needUnchanged(before, [before.output])).toThrow('The input "wren" went away during the sweep.')
  expect(() => needUnchanged(before, [{ ...output, rateHz: 44_100 }, input])).toThrow('changed its rate to 44100 Hz')
})

test('a program that is not installed is no error, one that fails gives its code and its words', async () => {
  const environment = process.env
  expect(await runProgram({ program: 'boardwright-no-such-program', arguments: [], environment })).toBeNull()
  const answer = await runProgram({ program: 'sh', arguments: ['-c', 'echo out; echo bad >&2; exit 3'], environment })
  expect(answer).toEqual({ exitCode: 3, output: 'out\n', messages: 'bad\n' })
})

test('a program that does not end when asked is made to', async () => {
  const shell = ['-c', 'trap "" TERM; echo ready >&2; while :; do sleep 0.1; done']
  let ready = () => {}
  const isReady = new Promise<void>((resolve) => {
    ready = resolve
  })
  const process = new SoundProcess({ program: 'sh', arguments: shell, environment: globalThis.process.env }, () =>
    ready(),
  )
  await isReady
  expect(await process.finish()).toMatchObject({ exitCode: null, signal: 'SIGKILL' })
})

test('a message is judged when its line is whole, and the last one is kept for the error', async () => {
  const heard: string[] = []
  const script = 'printf "FAIL: no" >&2; sleep 0.2; printf " device\\nTime: 1\\r" >&2'
  const call = { program: 'sh', arguments: ['-c', script], environment: process.env }
  const shell = new SoundProcess(call, (messages) => heard.push(messages))
  await shell.ended
  expect(heard.at(-1)).toBe('FAIL: no device\nTime: 1\r')
  expect(heard.filter((messages) => /[^\r\n]$/.test(messages))).toEqual([])
  expect(shell.lastMessage()).toBe('FAIL: no device')
})

test('a program that cannot be started says so', async () => {
  const program = join(mkdtempSync(join(tmpdir(), 'boardwright-none-')), 'player')
  const { startError } = await new SoundProcess({ program, arguments: [], environment: {} }, () => {}).ended
  expect(startError?.code).toBe('ENOENT')
})
