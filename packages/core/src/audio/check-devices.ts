import { BoardwrightError } from '../model/error.ts'
import type { RigSettings } from '../model/rig.ts'
import { type SoundDevice, unknownDevice } from './sound-device.ts'

/** The two devices of a rig as they stand now. */
export interface RigDevices {
  output: SoundDevice
  input: SoundDevice
}

/** A volume this near to 1 changes a level by less than 0.01 dB. */
const volumeTolerance = 0.001

/**
 * Picks the rig's devices from those that are there and refuses what would spoil a measurement without a word: another
 * sample rate (converted silently), a volume that is not 100 % (50 % costs 18 dB), a mute, too few bits or channels. What
 * the system does not tell is not refused.
 *
 * Errors: device-missing, device-muted, device-volume, device-rate, device-format.
 */
export function checkDevices(
  settings: RigSettings,
  devices: readonly SoundDevice[],
  options: { listsAll?: boolean } = {},
): RigDevices {
  const output = findDevice(devices, 'output', settings.output.device, options)
  const input = findDevice(devices, 'input', settings.input.device, options)
  needChannel(output, settings.output.channel)
  needChannel(input, settings.input.channel)
  if (settings.input.loopBackChannel !== null) needChannel(input, settings.input.loopBackChannel)
  for (const device of [output, input]) {
    const { label, direction, muted, volume, rateHz, bits } = device
    const name = `The ${direction} "${label}"`
    if (muted) throw new BoardwrightError('device-muted', `${name} is muted.`)
    if (volume !== null && Math.abs(volume - 1) > volumeTolerance)
      throw new BoardwrightError('device-volume', `The volume of the ${direction} "${label}" is ${percent(volume)}.`)
    if (rateHz !== null && rateHz !== settings.rateHz)
      throw new BoardwrightError('device-rate', `${name} runs at ${rateHz} Hz, the rig at ${settings.rateHz} Hz.`)
    if (bits !== null && bits < settings.leastBits)
      throw new BoardwrightError('device-format', `${name} takes ${bits} bits, the rig wants ${settings.leastBits}.`)
  }
  return { output, input }
}

/**
 * Refuses a recording during which a device was taken away or changed.
 * Errors: device-changed.
 */
export function needUnchanged(
  before: RigDevices,
  devices: readonly SoundDevice[],
  { listsAll = true }: { listsAll?: boolean } = {},
): void {
  for (const device of [before.output, before.input]) {
    const now = devices.find((d) => d.name === device.name && d.direction === device.direction)
    const what = now ? changeOf(device, now) : listsAll ? 'went away' : null
    if (what)
      throw new BoardwrightError(
        'device-changed',
        `The ${device.direction} "${device.label}" ${what} during the sweep.`,
      )
  }
}

const percent = (volume: number): string => `${Math.round(volume * 100)} % instead of 100 %`

function changeOf(before: SoundDevice, now: SoundDevice): string | null {
  if (now.muted !== before.muted) return 'was muted'
  if (now.volume !== null && before.volume !== null && Math.abs(now.volume - before.volume) > volumeTolerance)
    return `was set to a volume of ${Math.round(now.volume * 100)} %`
  if (now.rateHz !== before.rateHz) return `changed its rate to ${now.rateHz} Hz`
  return null
}

function findDevice(
  devices: readonly SoundDevice[],
  direction: SoundDevice['direction'],
  name: string,
  { listsAll = true }: { listsAll?: boolean },
): SoundDevice {
  const candidates = devices.filter((device) => device.direction === direction)
  const found = candidates.find((device) => device.name === name)
  if (found) return found
  if (!listsAll) return unknownDevice(name, direction)
  const known = candidates.map((device) => device.name).join(', ')
  throw new BoardwrightError(
    'device-missing',
    known === ''
      ? `The ${direction} "${name}" of the rig is not there; the computer has no ${direction} at all.`
      : `The ${direction} "${name}" of the rig is not there; there are: ${known}.`,
  )
}

function needChannel(device: SoundDevice, channel: number): void {
  if (device.channels !== null && channel >= device.channels)
    throw new BoardwrightError(
      'device-missing',
      `The ${device.direction} "${device.label}" has ${device.channels} channel(s), none with number ${channel + 1}.`,
      { remedy: 'Choose another channel for the rig.' },
    )
}
