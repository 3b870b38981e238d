import { BoardwrightError } from '../model/error.ts'
import { monitorSuffix, parsePipeWireDevices } from './pipewire-devices.ts'
import { type ProgramCall, runProgram } from './run-program.ts'
import type { SoundDevice } from './sound-device.ts'
import type { SoundStream, SoundSystem } from './sound-system.ts'

/** PipeWire: pw-cat and pw-dump. null when they are not there or no server answers. */
export async function openPipeWire(environment: NodeJS.ProcessEnv): Promise<SoundSystem | null> {
  const help = await runProgram({ program: 'pw-cat', arguments: ['--help'], environment })
  if (!help) return null
  // Newer versions take a pipe for a sound file unless told that it is raw.
  const raw = /--raw\b/.test(help.output + help.messages) ? ['--raw'] : []
  const dump = () => runProgram({ program: 'pw-dump', arguments: ['--no-colors'], environment })
  if ((await dump())?.exitCode !== 0) return null
  const call = (way: '--playback' | '--record') => (stream: SoundStream) =>
    programCall({ way, stream, environment, raw })
  return {
    family: 'pipewire',
    format: 'float32',
    listsAll: true,
    listDevices: () => listDevices(dump),
    player: call('--playback'),
    recorder: call('--record'),
    troubleIn,
    hasGap: (messages) => /\b(underrun|overrun|xrun)\b/i.test(messages),
  }
}

async function listDevices(dump: () => ReturnType<typeof runProgram>): Promise<SoundDevice[]> {
  const answer = await dump()
  if (answer?.exitCode !== 0)
    throw new BoardwrightError('rig-failed', `The sound server does not answer: ${answer?.messages.trim() ?? ''}.`, {
      remedy: 'Start the sound server again (or the computer), then test again.',
    })
  try {
    return parsePipeWireDevices(answer.output)
  } catch (cause) {
    throw new BoardwrightError('rig-failed', 'The list of sound devices that pw-dump gives cannot be read.', { cause })
  }
}

function programCall(options: {
  way: '--playback' | '--record'
  stream: SoundStream
  environment: NodeJS.ProcessEnv
  raw: readonly string[]
}): ProgramCall {
  const { way, stream, environment, raw } = options
  const { device, rateHz, channels, latencyMs } = stream
  const isMonitor = way === '--record' && device.name.endsWith(monitorSuffix)
  // A stream whose device goes away must end, not look for another: that may be somebody's headphones.
  const properties = ['node.dont-reconnect=true', 'node.dont-fallback=true', 'stream.dont-remix=true']
  if (isMonitor) properties.push('stream.capture.sink=true')
  const map = device.channelMap && device.channels === channels ? ['--channel-map', device.channelMap] : []
  return {
    program: 'pw-cat',
    arguments: [
      way,
      ...raw,
      '--format=f32',
      `--rate=${rateHz}`,
      `--channels=${channels}`,
      ...map,
      `--latency=${latencyMs}ms`,
      '--target',
      isMonitor ? device.name.slice(0, -monitorSuffix.length) : device.name,
      '--properties',
      `{ ${properties.join(' ')} }`,
      '-',
    ],
    environment,
  }
}

function troubleIn(messages: string): string | null {
  if (/no target node available|stream error: no target|defined target not found|unknown resource/i.test(messages))
    return 'the device is no longer there'
  if (/connection error|Connection refused|Host is down|Broken pipe/i.test(messages)) return 'the sound server stopped'
  if (/streaming -> (paused|unconnected|error)/.test(messages)) return 'the device stopped'
  return null
}
