import { formatRate } from '@boardwright/core'
import type { ProblemError } from '../../api/problem-error.ts'
import type { SoundDevice } from './sound-devices.ts'
import { fromInputError, soundTrouble } from './sound-trouble.ts'

/** More channels than a bench's interface has: the browser gives as many as there are, unmixed. */
const channelsAtMost = 32

const processing = ['echoCancellation', 'noiseSuppression', 'autoGainControl'] as const
const processingWords = {
  echoCancellation: 'echo cancellation',
  noiseSuppression: 'noise suppression',
  autoGainControl: 'automatic gain control',
}

export interface OpenInput {
  stream: MediaStream
  track: MediaStreamTrack
  channels: number
  /** Bits of a sample as the browser takes it; undefined where it does not say. */
  bits: number | undefined
}

/**
 * What must not go on with an opened input, or null: sound that is worked on before the page gets it, and a rate that would
 * be converted. What the browser does not tell is not refused.
 */
export function troubleWithInput(options: {
  settings: MediaTrackSettings
  label: string
  rateHz: number
}): ProblemError | null {
  const { settings, label, rateHz } = options
  const worked = processing.filter((name) => settings[name] !== undefined && settings[name] !== false)
  if (worked.length > 0)
    return soundTrouble(
      'sound-processed',
      `The input "${label}" works on the sound: ${worked.map((name) => processingWords[name]).join(', ')} cannot be switched off.`,
    )
  const { sampleRate } = settings
  if (sampleRate !== undefined && sampleRate !== rateHz)
    return soundTrouble(
      'device-rate',
      `The input "${label}" runs at ${formatRate(sampleRate)}, the sweep of the test plan at ${formatRate(rateHz)}.`,
    )
  return null
}

/**
 * Opens an input with all its channels and with nothing done to the sound.
 * Errors: microphone-refused, device-missing, device-busy, sound-processed, device-rate, rig-failed.
 */
export async function openInput(device: SoundDevice, rateHz: number): Promise<OpenInput> {
  let stream: MediaStream
  try {
    stream = await navigator.mediaDevices.getUserMedia({
      audio: {
        ...(device.id === '' ? {} : { deviceId: { exact: device.id } }),
        echoCancellation: false,
        noiseSuppression: false,
        autoGainControl: false,
        channelCount: { ideal: channelsAtMost },
      },
    })
  } catch (error) {
    throw fromInputError(error, device.label)
  }
  const [track] = stream.getAudioTracks()
  const settings: MediaTrackSettings & { sampleSize?: number } = track?.getSettings() ?? {}
  const trouble = track
    ? troubleWithInput({ settings, label: device.label, rateHz })
    : soundTrouble('rig-failed', `The input "${device.label}" gives no sound.`)
  if (trouble || !track) {
    for (const each of stream.getTracks()) each.stop()
    throw trouble
  }
  return { stream, track, channels: settings.channelCount ?? 2, bits: settings.sampleSize }
}
