import { fromInputError, soundTrouble } from './sound-trouble.ts'

/** A device that the browser offers. The empty `id` is the computer's own choice. */
export interface SoundDevice {
  id: string
  label: string
}

export interface SoundDevices {
  inputs: SoundDevice[]
  outputs: SoundDevice[]
  /** False until the maker has allowed the microphone: the browser then tells no names. */
  named: boolean
}

/** True where a page can send its sound to an output of its choice. */
export const choosesOutput = (): boolean => 'setSinkId' in AudioContext.prototype

/** Refuses a browser, or an address, where a page may not record at all. Errors: sound-not-supported. */
function needSound(): void {
  if (navigator.mediaDevices?.getUserMedia === undefined || typeof AudioWorkletNode === 'undefined')
    throw soundTrouble('sound-not-supported', 'This browser cannot play and record from this address.')
}

/** Devices as the browser lists them now; the entry "default" is left out, the empty id stands for it. */
export async function listSoundDevices(): Promise<SoundDevices> {
  needSound()
  const all = await navigator.mediaDevices.enumerateDevices()
  const ofKind = (kind: MediaDeviceKind): SoundDevice[] =>
    all
      .filter((device) => device.kind === kind && device.deviceId !== '' && device.deviceId !== 'default')
      .map(({ deviceId, label }) => ({ id: deviceId, label: label || 'without a name' }))
  return {
    inputs: ofKind('audioinput'),
    outputs: choosesOutput() ? ofKind('audiooutput') : [],
    named: all.some(({ label }) => label !== ''),
  }
}

/**
 * Asks the maker for the microphone, once: from then on the devices have names. Nothing is recorded.
 * Errors: microphone-refused, device-missing, device-busy, sound-not-supported.
 */
export async function askForSound(): Promise<void> {
  needSound()
  try {
    const stream = await navigator.mediaDevices.getUserMedia({ audio: true })
    for (const track of stream.getTracks()) track.stop()
  } catch (error) {
    throw fromInputError(error, 'default')
  }
}
