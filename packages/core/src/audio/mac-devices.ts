import { z } from 'zod'
import type { SoundDevice } from './sound-device.ts'

/** What is read of `system_profiler -json SPAudioDataType`. */
const MacDevices = z.looseObject({
  SPAudioDataType: z.array(
    z.looseObject({
      _items: z.array(
        z.looseObject({
          _name: z.string(),
          coreaudio_device_input: z.number().optional(),
          coreaudio_device_output: z.number().optional(),
          coreaudio_device_srate: z.number().optional(),
          coreaudio_default_audio_input_device: z.string().optional(),
          coreaudio_default_audio_output_device: z.string().optional(),
        }),
      ),
    }),
  ),
})

/**
 * Devices of macOS from the JSON text of `system_profiler -json SPAudioDataType`. Volume and mute are not told there.
 * Throws what zod or JSON throw when the text is something else.
 */
export function parseMacDevices(text: string): SoundDevice[] {
  const items = MacDevices.parse(JSON.parse(text)).SPAudioDataType.flatMap((group) => group._items)
  return items.flatMap((item): SoundDevice[] => {
    const one = (direction: SoundDevice['direction'], channels: number | undefined, isDefault: boolean) =>
      channels
        ? [
            {
              name: item._name,
              label: item._name,
              direction,
              channels,
              channelMap: null,
              rateHz: item.coreaudio_device_srate ?? null,
              sampleFormat: null,
              bits: null,
              volume: null,
              muted: null,
              isDefault,
            },
          ]
        : []
    return [
      ...one('output', item.coreaudio_device_output, item.coreaudio_default_audio_output_device === 'spaudio_yes'),
      ...one('input', item.coreaudio_device_input, item.coreaudio_default_audio_input_device === 'spaudio_yes'),
    ]
  })
}
