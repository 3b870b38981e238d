import { BoardwrightError } from '../model/error.ts'
import { parsePulseDevices } from './pulse-devices.ts'
import { type ProgramCall, runProgram } from './run-program.ts'
import type { SoundDevice } from './sound-device.ts'
import type { SoundStream, SoundSystem } from './sound-system.ts'

/** PulseAudio, or PipeWire's stand-in for it: pacat, parec and pactl. null when they are not there or no server answers. */
export async function openPulseAudio(environment: NodeJS.ProcessEnv): Promise<SoundSystem | null> {
  const ask = (...words: string[]) => runProgram({ program: 'pactl', arguments: words, environment })
  const info = await ask('info')
  if (info?.exitCode !== 0) return null
  return {
    family: 'pulseaudio',
    format: 'float32',
    listsAll: true,
    listDevices: () => listDevices(ask),
    player: (stream) => programCall('--playback', stream, environment),
    recorder: (stream) => programCall('--record', stream, environment),
    troubleIn,
    hasGap: (messages) => /Stream (under|over)run/.test(messages),
  }
}

async function listDevices(ask: (...words: string[]) => ReturnType<typeof runProgram>): Promise<SoundDevice[]> {
  const tell = async (...words: string[]): Promise<string> => {
    const answer = await ask(...words)
    if (answer?.exitCode === 0) return answer.output
    throw new BoardwrightError('rig-failed', `The sound server does not answer: ${answer?.messages.trim() ?? ''}.`, {
      remedy: 'Start the sound server again (or the computer), then test again.',
    })
  }
  const info = await tell('info')
  const nameIn = (key: string) => new RegExp(`^${key}: (.*)$`, 'm').exec(info)?.[1]
  const parts = await Promise.all([tell('-f', 'json', 'list', 'sinks'), tell('-f', 'json', 'list', 'sources')])
  try {
    return [
      ...parsePulseDevices({ text: parts[0], direction: 'output', defaultName: nameIn('Default Sink') }),
      ...parsePulseDevices({ text: parts[1], direction: 'input', defaultName: nameIn('Default Source') }),
    ]
  } catch (cause) {
    throw new BoardwrightError('rig-failed', 'The list of sound devices that pactl gives cannot be read.', {
      cause,
      remedy: 'Update pulseaudio-utils to version 16 or newer.',
    })
  }
}

/** `--verbose`: that is how the program tells that its stream was moved to another device. */
function programCall(way: '--playback' | '--record', stream: SoundStream, environment: NodeJS.ProcessEnv): ProgramCall {
  const { device, rateHz, channels, latencyMs } = stream
  const map = device.channelMap && device.channels === channels ? [`--channel-map=${device.channelMap}`] : []
  return {
    program: 'pacat',
    arguments: [
      way,
      '--verbose',
      '--raw',
      '--format=float32le',
      `--rate=${rateHz}`,
      `--channels=${channels}`,
      ...map,
      '--no-remix',
      '--no-remap',
      `--latency-msec=${latencyMs}`,
      `--device=${device.name}`,
      '--client-name=boardwright',
    ],
    environment,
  }
}

function troubleIn(messages: string): string | null {
  const moved = /Stream moved to device (\S+)/.exec(messages)
  if (moved) return `the device went away and the sound server moved the sound to ${moved[1]}`
  if (/No such entity/.test(messages)) return 'the device is no longer there'
  if (/Connection (terminated|refused|failure)/.test(messages)) return 'the sound server stopped'
  const failed = /Stream error: (.*)/.exec(messages)
  return failed ? `the sound server says "${failed[1].trim()}"` : null
}
