import { parseMacDevices } from './mac-devices.ts'
import { type ProgramCall, runProgram } from './run-program.ts'
import { type SoundDevice, unknownDevice } from './sound-device.ts'
import type { SoundStream, SoundSystem } from './sound-system.ts'

/** The way sox reaches the sound of each system; AUDIODRIVER chooses another, as it does for sox itself. */
const drivers: Partial<Record<NodeJS.Platform, string>> = { darwin: 'coreaudio', win32: 'waveaudio', linux: 'alsa' }

/**
 * sox, for macOS and Windows. Devices are listed on macOS; elsewhere only the default one is known, and AUDIODEV names
 * another. null when sox is not there, or has no way to the sound of this system.
 */
export async function openSox(environment: NodeJS.ProcessEnv): Promise<SoundSystem | null> {
  const help = await runProgram({ program: 'sox', arguments: ['--help'], environment })
  const driver = environment.AUDIODRIVER ?? drivers[process.platform]
  const supported = /AUDIO DEVICE DRIVERS:(.*)/
    .exec(help?.output ?? '')?.[1]
    .trim()
    .split(/\s+/)
  if (!driver || !supported?.includes(driver)) return null
  return {
    family: 'sox',
    format: 'pcm32',
    listsAll: process.platform === 'darwin',
    listDevices: () => listDevices(environment),
    player: (stream) => programCall({ way: 'play', stream, driver, environment }),
    recorder: (stream) => programCall({ way: 'record', stream, driver, environment }),
    troubleIn,
    hasGap: (messages) => /(under|over)-?run/i.test(messages),
  }
}

async function listDevices(environment: NodeJS.ProcessEnv): Promise<SoundDevice[]> {
  if (process.platform === 'darwin') {
    const call = { program: 'system_profiler', arguments: ['-json', 'SPAudioDataType'], environment }
    const answer = await runProgram(call)
    if (answer?.exitCode === 0) return parseMacDevices(answer.output)
  }
  const name = environment.AUDIODEV ?? 'default'
  return (['output', 'input'] as const).map((direction) => ({ ...unknownDevice(name, direction), isDefault: true }))
}

function programCall(options: {
  way: 'play' | 'record'
  stream: SoundStream
  driver: string
  environment: NodeJS.ProcessEnv
}): ProgramCall {
  const { way, stream, driver, environment } = options
  const { device, rateHz, channels, latencyMs } = stream
  const shape = [`-r${rateHz}`, `-c${channels}`, '-esigned-integer', '-b32']
  const pipe = ['-traw', ...shape, '-']
  const sound = [`-t${driver}`, ...shape, device.name]
  // sox buffers by bytes; the server or the driver buffers beyond that.
  const bytes = Math.max(1024, Math.round((latencyMs / 1000) * rateHz * channels * 4) >> 2)
  return {
    program: 'sox',
    // No dither, and warnings only: what sox converts of its own accord it warns of.
    arguments: [
      '-V2',
      '-q',
      '-D',
      '--buffer',
      String(bytes),
      ...(way === 'play' ? [...pipe, ...sound] : [...sound, ...pipe]),
    ],
    environment,
  }
}

function troubleIn(messages: string): string | null {
  const rate = /can't set sample rate (\d+)[^;]*; using (\d+)/i.exec(messages)
  if (rate) return `the device runs at ${rate[2]} Hz instead of ${rate[1]} Hz`
  const channels = /can't set (?:number of )?channels (\d+); using (\d+)/i.exec(messages)
  if (channels) return `the device has ${channels[2]} channels instead of ${channels[1]}`
  const fault = /sox FAIL [^:]*: (.*)/.exec(messages)
  return fault ? `sox says "${fault[1].trim()}"` : null
}
