import { parseAlsaCards, parseAlsaMixer, parseAlsaNames } from './alsa-devices.ts'
import { type ProgramCall, runProgram } from './run-program.ts'
import type { SoundDevice } from './sound-device.ts'
import type { SoundStream, SoundSystem } from './sound-system.ts'

/** ALSA without a sound server: aplay, arecord and amixer. null when they are not there or there is no device. */
export async function openAlsa(environment: NodeJS.ProcessEnv): Promise<SoundSystem | null> {
  const tell = async (program: string, ...words: string[]): Promise<string | null> =>
    (await runProgram({ program, arguments: words, environment }))?.output ?? null
  const list = async (): Promise<SoundDevice[]> => {
    const [outputs, inputs, outputNames, inputNames] = await Promise.all([
      tell('aplay', '-l'),
      tell('arecord', '-l'),
      tell('aplay', '-L'),
      tell('arecord', '-L'),
    ])
    const cards = await Promise.all(
      parseAlsaCards(outputs ?? '', 'output').map(async (device) => {
        const card = /CARD=([^,]+)/.exec(device.name)?.[1] ?? ''
        return { ...device, ...parseAlsaMixer((await tell('amixer', '-c', card, 'scontents')) ?? '') }
      }),
    )
    return [
      ...cards,
      ...parseAlsaCards(inputs ?? '', 'input'),
      ...parseAlsaNames(outputNames ?? '', 'output'),
      ...parseAlsaNames(inputNames ?? '', 'input'),
    ]
  }
  if ((await list()).length === 0) return null
  return {
    family: 'alsa',
    format: 'pcm32',
    listsAll: false,
    listDevices: list,
    player: (stream) => programCall('aplay', stream, environment),
    recorder: (stream) => programCall('arecord', stream, environment),
    troubleIn,
    hasGap: (messages) => /(under|over)run!!!/.test(messages),
  }
}

/** How long aplay and arecord may buffer, ms: the recorder's is long too, only its periods are short. */
const bufferMs = 500

function programCall(program: 'aplay' | 'arecord', stream: SoundStream, environment: NodeJS.ProcessEnv): ProgramCall {
  const { device, rateHz, channels, latencyMs } = stream
  const periodMs = program === 'arecord' ? latencyMs / 2 : latencyMs / 8
  return {
    program,
    arguments: [
      `--device=${device.name}`,
      '--file-type=raw',
      '--format=S32_LE',
      `--rate=${rateHz}`,
      `--channels=${channels}`,
      '--disable-resample',
      '--disable-channels',
      `--buffer-time=${1000 * Math.max(latencyMs, program === 'arecord' ? bufferMs : 0)}`,
      `--period-time=${Math.round(1000 * periodMs)}`,
    ],
    environment,
  }
}

function troubleIn(messages: string): string | null {
  const rate = /rate is not accurate \(requested = (\d+)Hz, got = (\d+)Hz\)/.exec(messages)
  if (rate) return `the device runs at ${rate[2]} Hz instead of ${rate[1]} Hz`
  if (/No such device|No such file or directory|cannot find card/i.test(messages)) return 'the device is not there'
  if (/Device or resource busy/i.test(messages)) return 'another program is using the device'
  if (/Channels count non available/i.test(messages)) return 'the device does not have this number of channels'
  if (/Sample format non available/i.test(messages)) return 'the device does not take 32-bit samples'
  const fault = /^(?:ALSA lib )?\S*:? ?(?:main|set_params|pcm_read|pcm_write):\d+: (.*(?:error|fail).*)$/im.exec(
    messages,
  )
  return fault ? `the sound system says "${fault[1].trim()}"` : null
}
