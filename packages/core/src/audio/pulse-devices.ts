import { z } from 'zod'
import { bitsOfFormat, type SoundDevice } from './sound-device.ts'

/** What is read of `pactl -f json list sinks` and `list sources`. */
const PulseDevices = z.array(
  z.object({
    name: z.string(),
    description: z.string().catch(''),
    /** "float32le 2ch 48000Hz" */
    sample_specification: z.string(),
    channel_map: z.string(),
    mute: z.boolean(),
    volume: z.record(z.string(), z.object({ value: z.number() })),
  }),
)

/** Volume of 100 %: PA_VOLUME_NORM. Source: PulseAudio's volume.h, from memory; `pactl` prints 65536 beside 100 %. */
const unchangedVolume = 65_536

/**
 * Devices from the JSON text of `pactl -f json list sinks` or `list sources`.
 * Throws what zod or JSON throw when the text is something else.
 */
export function parsePulseDevices(options: {
  text: string
  direction: SoundDevice['direction']
  defaultName?: string
}): SoundDevice[] {
  const { direction, defaultName } = options
  return PulseDevices.parse(JSON.parse(options.text)).map((device) => {
    const [sampleFormat = null, channels = '', rate = ''] = device.sample_specification.split(' ')
    const volumes = Object.values(device.volume).map((v) => v.value / unchangedVolume)
    return {
      name: device.name,
      label: device.description || device.name,
      direction,
      channels: Number.parseInt(channels, 10) || null,
      channelMap: device.channel_map,
      rateHz: Number.parseInt(rate, 10) || null,
      sampleFormat,
      bits: bitsOfFormat(sampleFormat ?? ''),
      volume: volumes.length > 0 ? furthestFromOne(volumes) : null,
      muted: device.mute,
      isDefault: device.name === defaultName,
    }
  })
}

/** One channel that is too loud is as wrong as one that is too quiet. */
export const furthestFromOne = (volumes: readonly number[]): number =>
  volumes.reduce((worst, v) => (Math.abs(v - 1) > Math.abs(worst - 1) ? v : worst), 1)
